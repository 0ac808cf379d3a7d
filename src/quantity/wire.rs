//! How quantities stand in JSON for other programs: each type here is named in
//! `#[serde(with = "…")]`, by which serde writes the value and schemars
//! describes it.

use std::borrow::Cow;
use std::fmt::Display;
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{Grams, Money};

/// An answer in its first form; one that reads otherwise would have another number.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "{T}Answer")]
pub struct Versioned<T> {
    schema: u8,
    #[serde(flatten)]
    of: T,
}

impl<T> Versioned<T> {
    pub const fn first(of: T) -> Self {
        Self { schema: 1, of }
    }
}

/// What is written of a value or of one that may be lacking.
pub trait Written<Form> {
    type As: Serialize;
    fn written(&self) -> Self::As;
}

impl<Form, T: Written<Form>> Written<Form> for Option<T> {
    type As = Option<T::As>;
    fn written(&self) -> Self::As {
        self.as_ref().map(T::written)
    }
}

/// What is written under a form's name is described as the type it is written as.
macro_rules! described {
    ($form:ident: $as:ty) => {
        impl JsonSchema for $form {
            fn inline_schema() -> bool {
                true
            }
            fn schema_name() -> Cow<'static, str> {
                stringify!($form).into()
            }
            fn json_schema(generator: &mut SchemaGenerator) -> Schema {
                <$as>::json_schema(generator)
            }
        }
    };
}

macro_rules! forms {
    ($($(#[$doc:meta])* $form:ident: $as:ty = $($of:ty: |$value:ident| $written:expr),+;)+) => {$(
        $(#[$doc])*
        #[derive(Debug)]
        pub struct $form;

        impl $form {
            /// For `#[serde(with = "…")]`.
            pub fn serialize<T: Written<Self>, S: Serializer>(value: &T, to: S) -> Result<S::Ok, S::Error> {
                value.written().serialize(to)
            }
        }

        described!($form: Option<$as>);

        $(impl Written<$form> for $of {
            type As = $as;
            fn written(&self) -> $as {
                let $value = self;
                $written
            }
        })+
    )+};
}

forms! {
    Kg: f64 = Grams: |grams| grams.kg();
    /// A share in per cent.
    Pct: f64 = f64: |share| share * 100.0;
    /// Units of the farm's currency.
    Amount: f64 = Money: |money| money.units();
    /// A record by its name, such as `r57`.
    RecordName: String = i64: |seq| format!("r{seq}");
}

/// As people write it, such as a day; read in that one form and no other.
#[derive(Debug)]
pub struct Text;

impl Text {
    /// For `#[serde(with = "…")]`.
    pub fn serialize<S: Serializer>(value: &impl Display, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(value)
    }

    /// For `#[serde(with = "…")]`.
    pub fn deserialize<'de, T: FromStr + Display, D: Deserializer<'de>>(
        from: D,
    ) -> Result<T, D::Error> {
        let text = String::deserialize(from)?;
        let value = text.parse().ok();
        (value.filter(|value: &T| value.to_string() == text))
            .ok_or_else(|| D::Error::custom(format!("`{text}` in another form")))
    }
}

described!(Text: String);

/// An object for other programs: each field with its type and where it comes
/// from, which is the field of the same name where nothing else is said.
macro_rules! view {
    (@of $of:ident $field:ident) => { ::std::clone::Clone::clone(&$of.$field) };
    (@of $of:tt $field:ident $value:expr) => { $value };
    ($($(#[$meta:meta])* $vis:vis $name:ident($of:tt: $from:ty) { $($(#[$attr:meta])* $field:ident: $type:ty $(= $value:expr)?),+ $(,)? })+) => {$(
        $(#[$meta])*
        #[derive(Debug, ::serde::Serialize, ::schemars::JsonSchema)]
        $vis struct $name { $($(#[$attr])* $field: $type),+ }

        impl From<$from> for $name {
            fn from($of: $from) -> Self {
                Self { $($field: $crate::quantity::wire::view!(@of $of $field $($value)?)),+ }
            }
        }
    )+};
}

pub(crate) use view;

/// Each of a list as other programs get it.
pub fn each<'a, T, View: From<&'a T>>(of: &'a [T]) -> Vec<View> {
    of.iter().map(View::from).collect()
}
