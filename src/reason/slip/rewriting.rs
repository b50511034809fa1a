//! A mal-rule applied at every node of a tree, one node at a time.

use crate::algebra::expr::Expr;
use crate::algebra::limits::MAX_DEPTH;

use super::malrules::Rule;

/// One wrong rewriting.
pub(super) struct Rewritten<'a, 'r> {
    /// The rule that was misapplied.
    pub rule: &'a Rule,
    /// The node as it should be.
    pub right: &'a Expr,
    /// What it wrongly became.
    pub wrong: Expr,
    rebuild: &'r dyn Fn(Expr) -> Expr,
}

impl Rewritten<'_, '_> {
    /// The whole tree with the wrong node in it.
    pub(super) fn whole(&self) -> Expr {
        (self.rebuild)(self.wrong.clone())
    }
}

/// Calls `emit` for every wrong rewriting of `expr` by one of the `rules`.
pub(super) fn everywhere<'a>(
    expr: &'a Expr,
    rules: &[&'a Rule],
    emit: &mut dyn FnMut(Rewritten<'a, '_>),
) {
    walk(expr, rules, MAX_DEPTH, &|new| new, emit);
}

fn walk<'a>(
    node: &'a Expr,
    rules: &[&'a Rule],
    depth: usize,
    rebuild: &dyn Fn(Expr) -> Expr,
    emit: &mut dyn FnMut(Rewritten<'a, '_>),
) {
    if depth == 0 {
        return;
    }
    let mut found = Vec::new();
    for rule in rules {
        (rule.apply)(node, &mut found);
        for wrong in found.drain(..) {
            emit(Rewritten {
                rule,
                right: node,
                wrong,
                rebuild,
            });
        }
    }
    let mut children = Vec::new();
    node.for_each_child(|child| children.push(child));
    for (place, child) in children.into_iter().enumerate() {
        let put = |new: Expr| {
            let mut at = 0;
            let mut new = Some(new);
            rebuild(node.map_children(|own| {
                at += 1;
                if at == place + 1
                    && let Some(new) = new.take()
                {
                    new
                } else {
                    own.clone()
                }
            }))
        };
        walk(child, rules, depth - 1, &put, emit);
    }
}
