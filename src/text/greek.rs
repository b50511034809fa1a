//! Greek letters and their spelled names: each letter is one symbol, however
//! it is written.

/// The letter that a spelled name stands for. Variant forms are the same
/// letter: `varphi` and `phi` are both `φ`.
#[must_use]
pub fn letter(name: &str) -> Option<char> {
    let first = *name.as_bytes().first()?;
    if name.len() < 2 || name.len() > 10 || !first.is_ascii_alphabetic() {
        return None;
    }
    if first.is_ascii_uppercase() {
        let mut small = [0u8; 10];
        let small = &mut small[..name.len()];
        small.copy_from_slice(name.as_bytes());
        small[0] = first.to_ascii_lowercase();
        let small = std::str::from_utf8(small).ok()?;
        if small.starts_with("var") {
            return None;
        }
        return lower(small).map(capital);
    }
    lower(name)
}

/// Whether the spelled name of a letter, or a change, can begin with these two.
#[must_use]
pub fn may_begin(first: u8, second: u8) -> bool {
    matches!(
        (first.to_ascii_lowercase(), second),
        (b'a', b'l')
            | (b'b' | b'd' | b'z', b'e')
            | (b'g' | b'k' | b'l' | b't' | b'v', b'a')
            | (b'e', b'p' | b't')
            | (b't' | b'r' | b'p' | b'c', b'h')
            | (b'i', b'o')
            | (b'm' | b'n', b'u')
            | (b'x' | b'p' | b's', b'i')
            | (b'o', b'm')
            | (b'u', b'p')
            | (b'p', b's')
    )
}

fn lower(name: &str) -> Option<char> {
    Some(match name {
        "alpha" => 'α',
        "beta" => 'β',
        "gamma" => 'γ',
        "delta" => 'δ',
        "epsilon" | "varepsilon" => 'ε',
        "zeta" => 'ζ',
        "eta" => 'η',
        "theta" | "vartheta" => 'θ',
        "iota" => 'ι',
        "kappa" | "varkappa" => 'κ',
        "lambda" | "lamda" => 'λ',
        "mu" => 'μ',
        "nu" => 'ν',
        "xi" => 'ξ',
        "omicron" => 'ο',
        "pi" | "varpi" => 'π',
        "rho" | "varrho" => 'ρ',
        "sigma" | "varsigma" => 'σ',
        "tau" => 'τ',
        "upsilon" => 'υ',
        "phi" | "varphi" => 'φ',
        "chi" => 'χ',
        "psi" => 'ψ',
        "omega" => 'ω',
        _ => return None,
    })
}

fn capital(small: char) -> char {
    small.to_uppercase().next().unwrap_or(small)
}

/// The spelled name of a Greek letter.
#[must_use]
pub fn name(letter: char) -> Option<&'static str> {
    Some(match letter {
        'α' => "alpha",
        'β' => "beta",
        'γ' => "gamma",
        'δ' => "delta",
        'ε' => "epsilon",
        'ζ' => "zeta",
        'η' => "eta",
        'θ' => "theta",
        'ι' => "iota",
        'κ' => "kappa",
        'λ' => "lambda",
        'μ' => "mu",
        'ν' => "nu",
        'ξ' => "xi",
        'ο' => "omicron",
        'π' => "pi",
        'ρ' => "rho",
        'σ' => "sigma",
        'τ' => "tau",
        'υ' => "upsilon",
        'φ' => "phi",
        'χ' => "chi",
        'ψ' => "psi",
        'ω' => "omega",
        'Α' => "Alpha",
        'Β' => "Beta",
        'Γ' => "Gamma",
        'Δ' => "Delta",
        'Ε' => "Epsilon",
        'Ζ' => "Zeta",
        'Η' => "Eta",
        'Θ' => "Theta",
        'Ι' => "Iota",
        'Κ' => "Kappa",
        'Λ' => "Lambda",
        'Μ' => "Mu",
        'Ν' => "Nu",
        'Ξ' => "Xi",
        'Ο' => "Omicron",
        'Π' => "Pi",
        'Ρ' => "Rho",
        'Σ' => "Sigma",
        'Τ' => "Tau",
        'Υ' => "Upsilon",
        'Φ' => "Phi",
        'Χ' => "Chi",
        'Ψ' => "Psi",
        'Ω' => "Omega",
        _ => return None,
    })
}

/// The usual form of a letter that has several: `ϕ` is `φ`, the micro sign is
/// `μ`, the increment sign is `Δ`. Any other character stays.
#[must_use]
pub fn usual(character: char) -> char {
    match character {
        'ϕ' => 'φ',
        'ϵ' => 'ε',
        'ϑ' => 'θ',
        'ϱ' => 'ρ',
        'ς' => 'σ',
        'ϰ' => 'κ',
        'ϖ' => 'π',
        'µ' => 'μ',
        '\u{2206}' => 'Δ',
        '\u{2126}' => 'Ω',
        other => other,
    }
}

/// The character that a subscript character lowers: `₀` lowers `0`.
#[must_use]
pub fn lowered(character: char) -> Option<char> {
    Some(match character {
        '₀'..='₉' => char::from(b'0' + u8::try_from(u32::from(character) - 0x2080).ok()?),
        'ₐ' => 'a',
        'ₑ' => 'e',
        'ₒ' => 'o',
        'ₓ' => 'x',
        'ₕ' => 'h',
        'ₖ' => 'k',
        'ₗ' => 'l',
        'ₘ' => 'm',
        'ₙ' => 'n',
        'ₚ' => 'p',
        'ₛ' => 's',
        'ₜ' => 't',
        'ᵢ' => 'i',
        'ᵣ' => 'r',
        'ᵤ' => 'u',
        'ᵥ' => 'v',
        'ᵦ' => 'β',
        'ᵧ' => 'γ',
        'ᵨ' => 'ρ',
        'ᵩ' => 'φ',
        'ᵪ' => 'χ',
        'ⱼ' => 'j',
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_letters_agree() {
        for code in 0x391..=0x3c9 {
            let Some(greek) = char::from_u32(code) else {
                continue;
            };
            if let Some(spelled) = name(greek) {
                assert_eq!(letter(spelled), Some(greek), "{spelled}");
            }
        }
        assert_eq!(letter("varphi"), Some('φ'));
        assert_eq!(letter("Varphi"), None);
        assert_eq!(letter("lambdat"), None);
        assert_eq!(letter("a"), None);
    }
}
