//! Enums whose values have a name on screen and in files: each value is written once.

/// Declares a field-less enum with `ALL` (the order in which values are offered), `name` (on
/// screen, sentence case) and `key` (the identifier, for files).
macro_rules! named_enum {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident => $label:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
        pub enum $name {
            $($(#[$variant_doc])* $variant),+
        }

        impl $name {
            /// All values, in the order they are offered.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// Name, sentence case.
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $label),+ }
            }

            /// Identifier for files; never changes with the wording on screen.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$variant => stringify!($variant)),+ }
            }
        }
    };
}

pub(crate) use named_enum;
