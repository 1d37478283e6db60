//! Reads JSON in which every structure is an object, as everything that the engine writes has it.
//!
//! serde reads a structure from an array of its fields as well. Nobody writes that, and code for it is compiled for
//! each of a hundred structures: a twentieth of the page's program. This stands between serde and serde_json and
//! never offers arrays for structures. It knows no structure.

use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, MapAccess, SeqAccess, VariantAccess, Visitor,
};
use std::fmt;

/// A value from its JSON text.
///
/// # Errors
/// Text that is no JSON or does not hold such a value, with line and column.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, serde_json::Error> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let value = T::deserialize(Objects(&mut reader))?;
    reader.end()?;
    Ok(value)
}

/// A deserializer, a visitor, a seed or an access in front of serde_json's own.
struct Objects<T>(T);

macro_rules! passed_on {
    ($($name:ident)*) => {
        $(fn $name<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
            self.0.$name(visitor)
        })*
    };
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Objects<D> {
    type Error = D::Error;

    passed_on! {
        deserialize_any deserialize_bool deserialize_i8 deserialize_i16 deserialize_i32 deserialize_i64
        deserialize_u8 deserialize_u16 deserialize_u32 deserialize_u64 deserialize_f32 deserialize_f64
        deserialize_char deserialize_str deserialize_string deserialize_bytes deserialize_byte_buf
        deserialize_unit deserialize_identifier deserialize_ignored_any
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_map(Objects(visitor))
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        self.0.deserialize_map(Objects(visitor))
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        self.0.deserialize_seq(Objects(visitor))
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, length: usize, visitor: V) -> Result<V::Value, D::Error> {
        self.0.deserialize_tuple(length, Objects(visitor))
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        length: usize,
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_tuple_struct(name, length, Objects(visitor))
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        self.0.deserialize_option(Objects(visitor))
    }

    fn deserialize_unit_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_unit_struct(name, visitor)
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_newtype_struct(name, Objects(visitor))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.0.deserialize_enum(name, variants, Objects(visitor))
    }
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Objects<V> {
    type Value = V::Value;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.expecting(formatter)
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<V::Value, A::Error> {
        self.0.visit_map(Objects(map))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, sequence: A) -> Result<V::Value, A::Error> {
        self.0.visit_seq(Objects(sequence))
    }

    fn visit_none<E: serde::de::Error>(self) -> Result<V::Value, E> {
        self.0.visit_none()
    }

    fn visit_unit<E: serde::de::Error>(self) -> Result<V::Value, E> {
        self.0.visit_unit()
    }

    fn visit_some<D: Deserializer<'de>>(self, some: D) -> Result<V::Value, D::Error> {
        self.0.visit_some(Objects(some))
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(self, inner: D) -> Result<V::Value, D::Error> {
        self.0.visit_newtype_struct(Objects(inner))
    }

    fn visit_enum<A: EnumAccess<'de>>(self, data: A) -> Result<V::Value, A::Error> {
        self.0.visit_enum(Objects(data))
    }
}

impl<'de, A: EnumAccess<'de>> EnumAccess<'de> for Objects<A> {
    type Error = A::Error;
    type Variant = Objects<A::Variant>;

    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self::Variant), A::Error> {
        self.0.variant_seed(seed).map(|(which, content)| (which, Objects(content)))
    }
}

impl<'de, A: VariantAccess<'de>> VariantAccess<'de> for Objects<A> {
    type Error = A::Error;

    fn unit_variant(self) -> Result<(), A::Error> {
        self.0.unit_variant()
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, A::Error> {
        self.0.newtype_variant_seed(Objects(seed))
    }

    fn tuple_variant<V: Visitor<'de>>(self, length: usize, visitor: V) -> Result<V::Value, A::Error> {
        self.0.tuple_variant(length, Objects(visitor))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, A::Error> {
        self.0.struct_variant(fields, Objects(visitor))
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for Objects<A> {
    type Error = A::Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, A::Error> {
        self.0.next_key_seed(seed)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        self.0.next_value_seed(Objects(seed))
    }
}

impl<'de, A: SeqAccess<'de>> SeqAccess<'de> for Objects<A> {
    type Error = A::Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, A::Error> {
        self.0.next_element_seed(Objects(seed))
    }
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Objects<S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, from: D) -> Result<S::Value, D::Error> {
        self.0.deserialize(Objects(from))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::order::Map;
    use serde::Deserialize;

    #[derive(Debug, PartialEq, Deserialize)]
    struct Whole(f64);

    #[derive(Debug, PartialEq, Deserialize)]
    #[serde(tag = "kind", rename_all = "kebab-case")]
    enum Tagged {
        One { value: f64 },
        Two,
    }

    #[derive(Debug, PartialEq, Deserialize)]
    enum Plain {
        Word,
        Pair(f64, f64),
        Named { value: u8 },
    }

    #[derive(Debug, PartialEq, Deserialize)]
    struct Part {
        name: String,
        #[serde(default)]
        value: Option<f64>,
    }

    #[derive(Debug, PartialEq, Deserialize)]
    struct All {
        parts: Vec<Part>,
        by_code: Map<String, Part>,
        pair: (f64, Option<Part>),
        whole: Whole,
        tagged: Vec<Tagged>,
        plain: Vec<Plain>,
    }

    const TEXT: &str = r#"{"parts": [{"name": "a", "value": 1.5}, {"name": "b"}, {"name": "c", "value": null}],
        "by_code": {"x": {"name": "d", "unknown": [1, {"a": 2}]}}, "pair": [2, {"name": "e"}], "whole": 3,
        "tagged": [{"kind": "one", "value": 4}, {"kind": "two"}], "plain": ["Word", {"Pair": [1, 2]},
        {"Named": {"value": 7}}]}"#;

    /// Law: where every structure is an object it reads what serde_json reads.
    #[test]
    fn it_reads_objects_as_serde_json_does() {
        let ours: All = read(TEXT).unwrap();
        assert_eq!(ours, serde_json::from_str::<All>(TEXT).unwrap());
        assert_eq!(ours.plain[2], Plain::Named { value: 7 });
    }

    #[test]
    fn arrays_are_no_structures_and_faults_have_their_place() {
        assert!(serde_json::from_str::<Part>(r#"["a", 1]"#).is_ok());
        let error = read::<Part>("\n[\"a\", 1]").unwrap_err();
        assert_eq!(error.line(), 2);
        for text in ["{\"name\": 1}", "{}", "{\"name\": \"a\"} x", ""] {
            let (ours, theirs) =
                (read::<Part>(text).unwrap_err(), serde_json::from_str::<Part>(text).unwrap_err());
            assert_eq!((ours.line(), ours.column()), (theirs.line(), theirs.column()), "{text}");
        }
    }
}
