//! A response: its fields in the order in which they are written. A map would
//! hash what is written once and never looked up.

use std::borrow::Cow;

use serde::ser::{Serialize, SerializeMap, Serializer};
use serde_json::{Map, Value};

#[derive(Default)]
pub(super) struct Fields(Vec<(Cow<'static, str>, Value)>);

impl Fields {
    pub(super) fn new() -> Self {
        Fields(Vec::with_capacity(8))
    }

    /// Adds a field, whose name must be new.
    pub(super) fn insert(&mut self, name: &'static str, value: Value) {
        self.0.push((Cow::Borrowed(name), value));
    }

    /// The same with the request's name in front.
    pub(super) fn with_id(mut self, id: Value) -> Self {
        self.0.insert(0, (Cow::Borrowed("id"), id));
        self
    }
}

impl From<Map<String, Value>> for Fields {
    fn from(map: Map<String, Value>) -> Self {
        let owned = |(name, value)| (Cow::Owned(name), value);
        Fields(map.into_iter().map(owned).collect())
    }
}

impl Serialize for Fields {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (name, value) in &self.0 {
            map.serialize_entry(name, value)?;
        }
        map.end()
    }
}
