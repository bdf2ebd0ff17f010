//! The rows: each setting with its code, words, who decides, source, and what it can be.
//!
//! Owns nothing but the table. Sources are named at the rules' own defaults (`rules/bleeding/policy`); here they
//! stand in the few words a lead reads. Bounds are what any of the named sources accepts, or our own limit where
//! a slip of the finger would do harm.

use serde::{Deserialize, Serialize};

use super::{Choice, Decides, Kind, Number};
use crate::rules::bleeding::Minutes;
use crate::rules::bleeding::policy::{
    BleedThrough, ChestCover, Conversion, FirstForLimb, MedicPanel, NeckPacking, OralFluids,
};

/// A number of minutes at this place.
macro_rules! minutes {
    ($least:literal to $most:literal, $($field:ident).+) => {
        Kind::Number(Number {
            unit: "min",
            least: $least,
            most: $most,
            get: |held| held.$($field).+.0,
            set: |held, given| held.$($field).+ = Minutes(given),
        })
    };
}

/// The place in what is in force that a setting stands at.
macro_rules! at {
    ($held:ident, [$($field:ident).+]) => {
        $held.$($field).+
    };
}

/// A choice at this place.
macro_rules! choices {
    ($place:tt, $($value:expr => $code:literal $words:literal),+ $(,)?) => {
        Kind::Choice(&[$(Choice {
            code: $code,
            words: $words,
            is: |held| at!(held, $place) == $value,
            set: |held| at!(held, $place) = $value,
        }),+])
    };
}

macro_rules! settings {
    ($($name:ident $code:literal: $words:literal, $decides:ident, $source:literal, $kind:expr;)+) => {
        /// A setting.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, utoipa::ToSchema)]
        #[expect(missing_docs, reason = "`words` says what each one is")]
        #[serde(rename_all = "snake_case")]
        pub enum Setting { $($name,)+ }

        impl Setting {
            /// Every setting, in the order of the page.
            pub const ALL: [Self; [$(Self::$name,)+].len()] = [$(Self::$name,)+];

            /// The stored code.
            pub const fn code(self) -> &'static str {
                match self { $(Self::$name => $code,)+ }
            }

            /// The words shown.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }

            /// Who is to decide it.
            pub const fn decides(self) -> Decides {
                match self { $(Self::$name => Decides::$decides,)+ }
            }

            /// Where the default comes from.
            pub const fn source(self) -> &'static str {
                match self { $(Self::$name => $source,)+ }
            }

            /// What it can be.
            pub fn kind(self) -> Kind {
                match self { $(Self::$name => $kind,)+ }
            }
        }
    };
}

settings! {
    FirstForLimb "first_for_limb": "First for a dangerous bleed on a limb", MedicalAdviser,
        "tourniquet: TCCC Guidelines; pressure: IFRC 2020, ANZCOR 9.1.1",
        choices!([policy.switches.first_for_limb],
            FirstForLimb::Tourniquet => "tourniquet" "tourniquet first",
            FirstForLimb::PressureThenTourniquet => "pressure_then_tourniquet" "pressure, then tourniquet");
    Conversion "conversion": "Who may take a tourniquet off again", MedicalAdviser,
        "TCCC Guidelines and JTS curriculum; never: ANZCOR (relayed)",
        choices!([policy.switches.conversion],
            Conversion::TrainedUnderTwoHours => "trained_under_two_hours" "trained lead before 2 h, medic before 6 h",
            Conversion::MedicOnly => "medic_only" "medics only",
            Conversion::Never => "never" "nobody before the hospital");
    ChestFirstAider "chest_first_aider": "Open chest wound, first aiders", MedicalAdviser,
        "ILCOR 2015: no airtight cover by first aiders",
        choices!([policy.switches.chest_first_aider],
            ChestCover::OpenOrDry => "open_or_dry" "leave open, or a dry dressing",
            ChestCover::Vented => "vented" "seal with a vent",
            ChestCover::ThreeSides => "three_sides" "taped on three sides (no longer advised)");
    ChestTrained "chest_trained": "Open chest wound, trained people", MedicalAdviser,
        "from memory: TCCC; AHA and American Red Cross 2024 accept a vented seal",
        choices!([policy.switches.chest_trained],
            ChestCover::Vented => "vented" "seal with a vent",
            ChestCover::OpenOrDry => "open_or_dry" "leave open, or a dry dressing",
            ChestCover::ThreeSides => "three_sides" "taped on three sides (no longer advised)");
    NeckPacking "neck_packing": "Who may pack a neck", MedicalAdviser,
        "sources differ: TCCC Guidelines; JEMS 2017 (relayed)",
        choices!([policy.switches.neck_packing],
            NeckPacking::Trained => "trained" "trained people and medics",
            NeckPacking::Medic => "medic" "medics only",
            NeckPacking::Nobody => "nobody" "nobody");
    BleedThrough "bleed_through": "When a dressing bleeds through", MedicalAdviser,
        "between St John Ambulance, ANZCOR 9.1.1 and older teaching",
        choices!([policy.switches.bleed_through],
            BleedThrough::OneLayerThenNextRung => "one_layer_then_next_rung" "one layer more, then the next rung",
            BleedThrough::UndressAtSecond => "undress_at_second" "the second time take it down",
            BleedThrough::NeverRemove => "never_remove" "keep adding");
    OralFluids "oral_fluids": "Drinking", MedicalAdviser,
        "our default between civilian teaching and the TCCC family",
        choices!([policy.switches.oral_fluids],
            OralFluids::NothingIfHospitalNear => "nothing_if_hospital_near" "nothing if a hospital is under 2 h away",
            OralFluids::Nothing => "nothing" "nothing",
            OralFluids::SipsIfAwake => "sips_if_awake" "sips when awake");
    RefillLimitsByAge "refill_limits_by_age": "Refill limits by age and sex", Lead,
        "Schriger and Baraff, Ann Emerg Med 1988",
        choices!([policy.switches.refill_limits_by_age],
            true => "yes" "by age and sex",
            false => "no" "2 s for all");
    TranexamicAcid "tranexamic_acid": "Panel for tranexamic acid", Lead,
        "TCCC Guidelines; JTS damage control resuscitation",
        choices!([policy.switches.tranexamic_acid],
            MedicPanel::MedicOnly => "medic_only" "medics see it",
            MedicPanel::Off => "off" "off");
    HoldPressure "hold_pressure": "Direct pressure, without looking", MedicalAdviser,
        "UK first-aid practice (relayed); 5 at the least: AHA and American Red Cross 2015 (relayed)",
        minutes!(5 to 30, policy.holds.pressure);
    HoldAnticoagulant "hold_anticoagulant": "Direct pressure with blood thinners", MedicalAdviser,
        "common practice",
        minutes!(5 to 60, policy.holds.pressure_anticoagulant);
    HoldHaemostatic "hold_haemostatic": "Pressure on haemostatic gauze", MedicalAdviser,
        "TCCC Guidelines: at least 3",
        minutes!(1 to 20, policy.holds.haemostatic);
    HoldPlain "hold_plain": "Pressure on plain gauze", MedicalAdviser,
        "common practice; one procedure list says at least 3",
        minutes!(3 to 30, policy.holds.plain);
    HoldCloth "hold_cloth": "Pressure on cotton cloth", MedicalAdviser,
        "our default, as for plain gauze",
        minutes!(3 to 30, policy.holds.cloth);
    DressingRecheck "dressing_recheck": "Check a pressure dressing every", MedicalAdviser,
        "UK training providers (relayed), common practice",
        minutes!(2 to 60, policy.dressings.recheck);
    TourniquetRecheck "tourniquet_recheck": "Check a tourniquet every", MedicalAdviser,
        "JTS curriculum: frequently; 10 is our default",
        minutes!(2 to 60, policy.tourniquets.recheck);
    StoppedFirst "stopped_first": "First look at a stopped wound after", MedicalAdviser,
        "our default",
        minutes!(2 to 60, policy.care.stopped_first);
    StoppedNext "stopped_next": "Then every", MedicalAdviser,
        "our default",
        minutes!(10 to 240, policy.care.stopped_next);
    BreathingCheck "breathing_check": "Breathing, open chest or neck, every", MedicalAdviser,
        "our default",
        minutes!(2 to 30, policy.care.breathing);
    ObserveShock "observe_shock": "Vital signs in shock every", MedicalAdviser,
        "from memory: 5 when unstable",
        minutes!(2 to 30, policy.care.observe_shock);
    ObserveStable "observe_stable": "Vital signs when stable every", MedicalAdviser,
        "from memory: 15",
        minutes!(5 to 120, policy.care.observe_stable);
    HandsRelief "hands_relief": "Relieve hands that stay on after", Lead,
        "our default",
        minutes!(2 to 30, policy.holds.relief);
    SortWithin "sort_within": "Sort everybody within", Lead,
        "our default",
        minutes!(1 to 30, sort_within);
    LookImmediate "look_immediate": "Look again at the immediate every", Lead,
        "common practice: unstable every 5 (US field teaching)",
        minutes!(1 to 30, looks.immediate);
    LookDelayed "look_delayed": "Look again at the delayed every", Lead,
        "common practice: stable every 15 (US field teaching); Canadian scale, levels 2 and 3",
        minutes!(5 to 60, looks.delayed);
    LookMinor "look_minor": "Look again at the minor every", Lead,
        "common practice, after levels 3 and 4 of the Canadian scale",
        minutes!(5 to 120, looks.minor);
    LookExpectant "look_expectant": "Look again at the expectant every", Lead,
        "common practice; SALT: again whenever resources change",
        minutes!(5 to 120, looks.expectant);
    LookOpen "look_open": "Go on with a begun assessment within", Lead,
        "common practice",
        minutes!(1 to 30, looks.open);
    DaysToWait "days_to_wait": "Further days to plan dressings for", Lead,
        "dressing changes at least every 24 h: JTS Clinical Practice Guideline 62",
        Kind::Number(Number {
            unit: "days",
            least: 0,
            most: 14,
            get: |held| held.days_to_wait,
            set: |held, given| held.days_to_wait = given,
        });
    SilenceCritical "silence_critical": "An acknowledged critical alarm is quiet for", Lead,
        "our default",
        minutes!(1 to 5, policy.care.silence_critical);
    SilenceHigh "silence_high": "An acknowledged high alarm is quiet for", Lead,
        "our default",
        minutes!(1 to 10, policy.care.silence_high);
    SilenceMedium "silence_medium": "An acknowledged medium alarm is quiet for", Lead,
        "our default",
        minutes!(1 to 30, policy.care.silence_medium);
}
