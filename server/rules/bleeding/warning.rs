//! Short warnings in plain words.
//!
//! Owns the texts, each at most two sentences, and nothing about when they appear: that is said by the rule
//! that raises them. Placeholders do not exist; a time beside a warning comes from the clock.

use serde::{Deserialize, Serialize};

macro_rules! warnings {
    ($($name:ident: $text:literal;)+) => {
        /// A warning.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(rename_all = "snake_case")]
        #[expect(missing_docs, reason = "`text` says what each one is")]
        pub enum Warning { $($name,)+ }

        impl Warning {
            /// Every warning.
            pub const ALL: &[Self] = &[$(Self::$name,)+];

            /// The words shown.
            pub const fn text(self) -> &'static str {
                match self { $(Self::$name => $text,)+ }
            }
        }
    };
}

warnings! {
    NotAdvice: "A memory aid, not medical advice: your training and local protocol come first. Call the emergency services.";
    SafeScene: "Is it safe for you to be here? Gloves on, eyes covered, then help.";
    LifeThreat: "This bleeding can kill. Act first, tap afterwards.";
    PressHard: "Both hands, straight arms, on the bleeding point. No looking until the time is up.";
    LiftedEarly: "The pressure was off too soon, so the time begins again.";
    PackDeep: "Feed gauze down to where it bleeds until the wound is full. Ball up the rest, press on it.";
    NoPackingHere: "No gauze goes in here, and never into a chest, a belly or an eye.";
    NeckPacking: "Gauze in a neck can close the airway: trained people only. Press one side, wrap nothing round it.";
    PackingTrainedOnly: "Packing here is for trained people: it must not reach chest or belly.";
    NotAroundNeck: "No bandage round a neck. Hold by hand, or wrap under the far armpit.";
    NoDressingHere: "A pressure dressing does not belong here.";
    NoPressureOnSkull: "The bone may be broken: pad around it, do not press on it.";
    OppositePulses: "Under a dressing the pulse beyond must be felt. Under a tourniquet it must be gone.";
    TooTight: "No blood gets past the dressing. Ease it a little, stay on the wound, check again.";
    SlowRefillCold: "Refill is slow because of cold or on both sides. Go by pulse, feeling and movement, and warm them.";
    PlaceTourniquet: "A hand's width above, off the joint, tight until blood and pulse are gone. It hurts; that is no reason to loosen.";
    WriteTime: "When did the tourniquet go on? Write it on the strap and tell the board.";
    NoTourniquetHere: "A tourniquet cannot squeeze this place. Pack it or press.";
    NeverLoosen: "Do not loosen it now and then: each time costs blood.";
    TwoHours: "Two hours on this limb. Only medical people may try to take it off; hurry the way out.";
    SixHours: "Six hours or more on this limb. It comes off in a hospital, not here.";
    NoConversionInShock: "Leave the tourniquet: this person may be in shock.";
    NoConversionOnStump: "Leave the tourniquet: part of the limb is lost.";
    NoConversionByYou: "Taking this tourniquet off is not for you, or not now.";
    NobodyWatching: "Not ready: every point of the list must be true, above all someone who watches.";
    WrappedEarly: "Wrapped before the pressing time was up: keep a close eye on it.";
    LiftCoverIfWorse: "Breathing harder? Lift an edge of the cover at once.";
    OrgansOutside: "Push nothing back in. Keep it moist and covered; no food, no drink.";
    NoPressureOnEye: "Nothing may press on the eye. A stiff shield, resting on bone.";
    LeaveObjectIn: "Leave what sticks in it where it is. Build padding round it.";
    DoNotWash: "Do not open or rinse this one: it can start again.";
    DoNotClose: "Old, deep, dirty or bitten wounds stay open out here.";
    KeepWarm: "Cold blood does not clot: off the ground, dry, covered.";
    Sharps: "Needles and blades go straight into the sharps box, caps stay off.";
    BloodOnHelper: "Soap and water on skin, plenty of water in eyes and mouth, now. Tell the lead and see a doctor today.";
    ExpiredGauze: "Out of date: it counts as plain gauze and is pressed as long.";
    RoughEstimate: "Blood loss by eye is a rough guess.";
    MedicsOnly: "For medics only.";
}
