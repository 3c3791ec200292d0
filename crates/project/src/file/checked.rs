//! Values that are checked while they are read, so that an error can name their line.

use std::marker::PhantomData;

use serde::de::{Deserialize, Deserializer, Error, SeqAccess, Visitor};
use serde::ser::{Serialize, Serializer};

use super::failure::HINT;
use crate::edit::Refused;

/// Every number in a project is finite and at most this far from 0.
const LARGEST: f64 = 1e6;

/// A number that is finite and not absurd.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Number(pub(super) f64);

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.0)
    }
}

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let number = f64::deserialize(deserializer)?;
        crate::promise::check_range("The value", number, -LARGEST, LARGEST).map_err(told)?;
        Ok(Self(number))
    }
}

/// A broken promise as the parser's error, which adds line and column.
pub(super) fn told<E: Error>(Refused { reason, hint }: Refused) -> E {
    E::custom(format!("{reason}{HINT}{hint}"))
}

/// Reads something and checks it as a whole.
pub(super) fn whole<'de, D, T, C>(deserializer: D, check: C) -> Result<T, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
    C: Fn(&T) -> Result<(), Refused>,
{
    let value = T::deserialize(deserializer)?;
    check(&value).map_err(told)?;
    Ok(value)
}

/// Reads a list and checks every element, with the one before it, as soon as it is read.
pub(super) fn list<'de, D, T, C>(deserializer: D, most: usize, check: C) -> Result<Vec<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
    C: Fn(Option<&T>, &T) -> Result<(), Refused>,
{
    deserializer.deserialize_seq(ListVisitor { most, check, of: PhantomData })
}

struct ListVisitor<T, C> {
    most: usize,
    check: C,
    of: PhantomData<T>,
}

impl<'de, T: Deserialize<'de>, C: Fn(Option<&T>, &T) -> Result<(), Refused>> Visitor<'de> for ListVisitor<T, C> {
    type Value = Vec<T>;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a list in square brackets")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
        let mut all: Vec<T> = Vec::new();
        while let Some(element) = seq.next_element()? {
            (self.check)(all.last(), &element).map_err(told)?;
            all.push(element);
            if all.len() > self.most {
                let reason = format!("This list has more than {} entries.", self.most);
                return Err(told(Refused::new(reason, "Shorten it.")));
            }
        }
        Ok(all)
    }
}
