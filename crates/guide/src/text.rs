//! Values of exact time in the saved form: as their plain text.

use core::fmt::Display;
use core::str::FromStr;
use cueleaf_time::BeatSpan;
use serde::{Deserialize, Deserializer, Serializer, de};
use std::borrow::Cow;

pub(crate) const fn zero() -> BeatSpan {
    BeatSpan::ZERO
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde asks for this shape"
)]
pub(crate) const fn is_zero(span: &BeatSpan) -> bool {
    span.is_zero()
}

fn read<'de, T, D>(deserializer: D) -> Result<T, D::Error>
where
    T: FromStr<Err: Display>,
    D: Deserializer<'de>,
{
    let text = Cow::<'de, str>::deserialize(deserializer)?;
    text.parse().map_err(de::Error::custom)
}

/// One value, as text.
pub(crate) mod plain {
    use super::{Deserializer, Display, FromStr, Serializer};

    pub(crate) fn serialize<T: Display, S: Serializer>(
        value: &T,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        serializer.collect_str(value)
    }

    pub(crate) fn deserialize<'de, T, D>(deserializer: D) -> Result<T, D::Error>
    where
        T: FromStr<Err: Display>,
        D: Deserializer<'de>,
    {
        super::read(deserializer)
    }
}

/// A value that may be absent, as text.
pub(crate) mod optional {
    use super::{Deserializer, Display, FromStr, Serializer};

    #[allow(
        clippy::ref_option,
        reason = "serde hands over a reference to the field"
    )]
    pub(crate) fn serialize<T: Display, S: Serializer>(
        value: &Option<T>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        match value {
            Some(value) => serializer.collect_str(value),
            None => serializer.serialize_none(),
        }
    }

    pub(crate) fn deserialize<'de, T, D>(deserializer: D) -> Result<Option<T>, D::Error>
    where
        T: FromStr<Err: Display>,
        D: Deserializer<'de>,
    {
        super::read(deserializer).map(Some)
    }
}

/// A key signature that may be absent, as its number of sharps (flats negative).
pub(crate) mod key {
    use cueleaf_time::Key;
    use serde::{Deserialize, Deserializer, Serializer, de};

    #[allow(
        clippy::ref_option,
        reason = "serde hands over a reference to the field"
    )]
    pub(crate) fn serialize<S: Serializer>(
        value: &Option<Key>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        match value {
            Some(key) => serializer.serialize_i8(key.fifths()),
            None => serializer.serialize_none(),
        }
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Option<Key>, D::Error> {
        let fifths = i8::deserialize(deserializer)?;
        Key::from_fifths(fifths)
            .map(Some)
            .map_err(|_| de::Error::custom("expected a key from -7 to 7"))
    }
}
