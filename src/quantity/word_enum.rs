/// An enum whose values are words, the same in tables, records, commands and JSON.
macro_rules! word_enum {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash,
            ::serde::Serialize, ::serde::Deserialize, ::schemars::JsonSchema,
        )]
        pub enum $name {
            $($(#[$variant_doc])* #[serde(rename = $word)] $variant),+
        }

        impl $name {
            pub const ALL: [Self; [$($word),+].len()] = [$(Self::$variant),+];

            /// As it stands in tables and commands.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            pub fn parse(text: &str) -> Option<Self> {
                Self::ALL.into_iter().find(|value| value.as_str() == text)
            }

            pub fn accepted() -> String {
                Self::ALL.map(Self::as_str).join(", ")
            }
        }

        impl ::std::fmt::Display for $name {
            fn fmt(&self, f: &mut ::std::fmt::Formatter<'_>) -> ::std::fmt::Result {
                f.write_str(self.as_str())
            }
        }
    };
}

pub(crate) use word_enum;
