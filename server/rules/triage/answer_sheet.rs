//! How an algorithm declares its answer sheet.
//!
//! Owns the `answer_sheet!` macro. Promises: a sheet's fields, its JSON and what the tables read by `Input`
//! cannot drift apart, because all three come from one declaration.

/// Declares a sheet: a struct of optional fields, refusing unknown ones, that implements `Answers`.
///
/// Each field names the input it is. `answers` are yes/no questions, `numbers` are counted or measured,
/// `levels` has at most one field, the level of consciousness.
macro_rules! answer_sheet {
    (
        $(#[$meta:meta])*
        pub struct $name:ident {
            answers { $($(#[$answer_meta:meta])* $answer:ident: $answer_input:ident,)* }
            numbers { $($(#[$number_meta:meta])* $number:ident: $number_input:ident,)* }
            levels { $($(#[$level_meta:meta])* $level:ident: $level_input:ident,)? }
        }
    ) => {
        $(#[$meta])*
        #[derive(
            Clone, Copy, Debug, Default, PartialEq, Eq, Hash,
            serde::Serialize, serde::Deserialize, utoipa::ToSchema,
        )]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $(
                $(#[$answer_meta])*
                #[serde(default, skip_serializing_if = "Option::is_none")]
                pub $answer: Option<$crate::rules::triage::Answer>,
            )*
            $(
                $(#[$number_meta])*
                #[serde(default, skip_serializing_if = "Option::is_none")]
                pub $number: Option<u16>,
            )*
            $(
                $(#[$level_meta])*
                #[serde(default, skip_serializing_if = "Option::is_none")]
                pub $level: Option<$crate::rules::scores::Consciousness>,
            )?
        }

        impl $crate::rules::triage::Answers for $name {
            fn answer(&self, input: $crate::rules::triage::Input) -> Option<$crate::rules::triage::Answer> {
                match input {
                    $($crate::rules::triage::Input::$answer_input => self.$answer,)*
                    _ => None,
                }
            }

            fn number(&self, input: $crate::rules::triage::Input) -> Option<u16> {
                match input {
                    $($crate::rules::triage::Input::$number_input => self.$number,)*
                    _ => None,
                }
            }

            $(
                fn consciousness(&self) -> Option<$crate::rules::scores::Consciousness> {
                    self.$level
                }
            )?
        }

        impl $crate::rules::triage::Record for $name {
            fn record(
                &mut self,
                input: $crate::rules::triage::Input,
                answer: Option<$crate::rules::triage::Answer>,
            ) -> bool {
                let place = match input {
                    $($crate::rules::triage::Input::$answer_input => Some(&mut self.$answer),)*
                    _ => None,
                };
                place.map(|place| *place = answer).is_some()
            }

            fn record_number(&mut self, input: $crate::rules::triage::Input, number: Option<u16>) -> bool {
                let place: Option<&mut Option<u16>> = match input {
                    $($crate::rules::triage::Input::$number_input => Some(&mut self.$number),)*
                    _ => None,
                };
                place.map(|place| *place = number).is_some()
            }

            $(
                fn record_level(&mut self, level: Option<$crate::rules::scores::Consciousness>) -> bool {
                    self.$level = level;
                    true
                }
            )?
        }
    };
}

pub(super) use answer_sheet;
