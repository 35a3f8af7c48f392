//! Refuses what a file of an older version couldn't say.
//!
//! A layer around the reader's own source: it looks at each name of a field or
//! a choice before the schema's struct does, and hands on all else as it is.
//! So the schema needs one set of structs, and the error has the place of any
//! other name that doesn't belong.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, SeqAccess, VariantAccess, Visitor};
use serde::forward_to_deserialize_any;

use super::reason::{no_such_choice, no_such_field};
use super::since::{Holder, Names};

/// Anything of the reader's with the names that may stand in it.
pub struct Gate<T, N> {
    inner: T,
    names: N,
    /// What is being read, if it has names.
    holder: Option<Holder>,
}

impl<T, N: Names> Gate<T, N> {
    /// Around a reader's source.
    pub fn new(inner: T, names: N) -> Self {
        Self { inner, names, holder: None }
    }

    fn of(inner: T, names: N, of: &'static str, all: &'static [&'static str]) -> Self {
        Self { inner, names, holder: Some(Holder { of, choice: None, names: all }) }
    }
}

macro_rules! hand_on {
    ($($name:ident ( $($argument:ident: $type:ty),* );)*) => {$(
        fn $name<V: Visitor<'de>>(self, $($argument: $type,)* visitor: V) -> Result<V::Value, D::Error> {
            self.inner.$name($($argument,)* Gate::new(visitor, self.names))
        }
    )*};
}

impl<'de, D: Deserializer<'de>, N: Names> Deserializer<'de> for Gate<D, N> {
    type Error = D::Error;

    hand_on! {
        deserialize_any();
        deserialize_bool();
        deserialize_i8();
        deserialize_i16();
        deserialize_i32();
        deserialize_i64();
        deserialize_i128();
        deserialize_u8();
        deserialize_u16();
        deserialize_u32();
        deserialize_u64();
        deserialize_u128();
        deserialize_f32();
        deserialize_f64();
        deserialize_char();
        deserialize_str();
        deserialize_string();
        deserialize_bytes();
        deserialize_byte_buf();
        deserialize_option();
        deserialize_unit();
        deserialize_unit_struct(name: &'static str);
        deserialize_newtype_struct(name: &'static str);
        deserialize_seq();
        deserialize_tuple(length: usize);
        deserialize_tuple_struct(name: &'static str, length: usize);
        deserialize_map();
        deserialize_identifier();
        deserialize_ignored_any();
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.inner.deserialize_struct(name, fields, Gate::of(visitor, self.names, name, fields))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        choices: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.inner.deserialize_enum(name, choices, Gate::of(visitor, self.names, name, choices))
    }

    fn is_human_readable(&self) -> bool {
        self.inner.is_human_readable()
    }
}

macro_rules! take {
    ($($name:ident($type:ty);)*) => {$(
        fn $name<E: Error>(self, value: $type) -> Result<V::Value, E> {
            self.inner.$name(value)
        }
    )*};
}

impl<'de, V: Visitor<'de>, N: Names> Visitor<'de> for Gate<V, N> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.inner.expecting(f)
    }

    take! {
        visit_bool(bool);
        visit_i8(i8);
        visit_i16(i16);
        visit_i32(i32);
        visit_i64(i64);
        visit_i128(i128);
        visit_u8(u8);
        visit_u16(u16);
        visit_u32(u32);
        visit_u64(u64);
        visit_u128(u128);
        visit_f32(f32);
        visit_f64(f64);
        visit_char(char);
        visit_str(&str);
        visit_borrowed_str(&'de str);
        visit_string(String);
        visit_bytes(&[u8]);
        visit_borrowed_bytes(&'de [u8]);
        visit_byte_buf(Vec<u8>);
    }

    fn visit_none<E: Error>(self) -> Result<V::Value, E> {
        self.inner.visit_none()
    }

    fn visit_unit<E: Error>(self) -> Result<V::Value, E> {
        self.inner.visit_unit()
    }

    fn visit_some<D: Deserializer<'de>>(self, source: D) -> Result<V::Value, D::Error> {
        self.inner.visit_some(Gate::new(source, self.names))
    }

    fn visit_newtype_struct<D: Deserializer<'de>>(self, source: D) -> Result<V::Value, D::Error> {
        self.inner.visit_newtype_struct(Gate::new(source, self.names))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<V::Value, A::Error> {
        self.inner.visit_seq(Gate::new(list, self.names))
    }

    fn visit_map<A: MapAccess<'de>>(self, inner: A) -> Result<V::Value, A::Error> {
        self.inner.visit_map(Gate { inner, names: self.names, holder: self.holder })
    }

    fn visit_enum<A: EnumAccess<'de>>(self, inner: A) -> Result<V::Value, A::Error> {
        self.inner.visit_enum(Gate { inner, names: self.names, holder: self.holder })
    }
}

impl<'de, S: DeserializeSeed<'de>, N: Names> DeserializeSeed<'de> for Gate<S, N> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, source: D) -> Result<S::Value, D::Error> {
        self.inner.deserialize(Gate::new(source, self.names))
    }
}

impl<'de, A: SeqAccess<'de>, N: Names> SeqAccess<'de> for Gate<A, N> {
    type Error = A::Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, A::Error> {
        self.inner.next_element_seed(Gate::new(seed, self.names))
    }

    fn size_hint(&self) -> Option<usize> {
        self.inner.size_hint()
    }
}

impl<'de, A: MapAccess<'de>, N: Names> MapAccess<'de> for Gate<A, N> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, A::Error> {
        let names = self.names;
        match &self.holder {
            Some(holder) => {
                let check = NameCheck { names, holder, found: &mut "", refuse: no_such_field };
                self.inner.next_key_seed(Name { inner: seed, check })
            }
            None => self.inner.next_key_seed(Gate::new(seed, names)),
        }
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        self.inner.next_value_seed(Gate::new(seed, self.names))
    }

    fn size_hint(&self) -> Option<usize> {
        self.inner.size_hint()
    }
}

impl<'de, A: EnumAccess<'de>, N: Names> EnumAccess<'de> for Gate<A, N> {
    type Error = A::Error;
    type Variant = Gate<A::Variant, N>;

    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self::Variant), A::Error> {
        let names = self.names;
        let Some(holder) = self.holder else {
            let (value, inner) = self.inner.variant_seed(Gate::new(seed, names))?;
            return Ok((value, Gate::new(inner, names)));
        };
        let mut found = "";
        let check = NameCheck { names, holder: &holder, found: &mut found, refuse: no_such_choice };
        let (value, inner) = self.inner.variant_seed(Name { inner: seed, check })?;
        Ok((value, Gate { inner, names, holder: Some(Holder { choice: Some(found), ..holder }) }))
    }
}

impl<'de, A: VariantAccess<'de>, N: Names> VariantAccess<'de> for Gate<A, N> {
    type Error = A::Error;

    fn unit_variant(self) -> Result<(), A::Error> {
        self.inner.unit_variant()
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, A::Error> {
        self.inner.newtype_variant_seed(Gate::new(seed, self.names))
    }

    fn tuple_variant<V: Visitor<'de>>(self, length: usize, visitor: V) -> Result<V::Value, A::Error> {
        self.inner.tuple_variant(length, Gate::new(visitor, self.names))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, A::Error> {
        let holder = self.holder.map(|holder| Holder { names: fields, ..holder });
        self.inner.struct_variant(fields, Gate { inner: visitor, names: self.names, holder })
    }
}

/// Something of the reader's that is about to give a name.
struct Name<'a, T, N> {
    inner: T,
    check: NameCheck<'a, N>,
}

/// Whether that name may stand there.
struct NameCheck<'a, N> {
    names: N,
    holder: &'a Holder,
    /// Which it was.
    found: &'a mut &'static str,
    /// The sentence if it may not: what it was, and what was expected.
    refuse: fn(&str, &[&str]) -> String,
}

impl<N: Names> NameCheck<'_, N> {
    fn check<E: Error>(self, name: &str) -> Result<(), E> {
        let (names, holder) = (self.names, self.holder);
        let stand = || holder.names.iter().copied().filter(|known| names.stands(holder, known));
        match stand().find(|known| *known == name) {
            Some(known) => {
                *self.found = known;
                Ok(())
            }
            None => Err(E::custom((self.refuse)(name, &stand().collect::<Vec<_>>()))),
        }
    }
}

impl<'de, S: DeserializeSeed<'de>, N: Names> DeserializeSeed<'de> for Name<'_, S, N> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, inner: D) -> Result<S::Value, D::Error> {
        self.inner.deserialize(Name { inner, check: self.check })
    }
}

impl<'de, D: Deserializer<'de>, N: Names> Deserializer<'de> for Name<'_, D, N> {
    type Error = D::Error;

    fn deserialize_any<V: Visitor<'de>>(self, inner: V) -> Result<V::Value, D::Error> {
        self.inner.deserialize_any(Name { inner, check: self.check })
    }

    fn deserialize_identifier<V: Visitor<'de>>(self, inner: V) -> Result<V::Value, D::Error> {
        self.inner.deserialize_identifier(Name { inner, check: self.check })
    }

    // A name is asked for as an identifier; nothing else comes here.
    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum ignored_any
    }
}

impl<'de, V: Visitor<'de>, N: Names> Visitor<'de> for Name<'_, V, N> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.inner.expecting(f)
    }

    fn visit_str<E: Error>(self, name: &str) -> Result<V::Value, E> {
        self.check.check(name)?;
        self.inner.visit_str(name)
    }

    fn visit_borrowed_str<E: Error>(self, name: &'de str) -> Result<V::Value, E> {
        self.check.check(name)?;
        self.inner.visit_borrowed_str(name)
    }
}
