//! What is reported about supplies: kits, counts, what went from one kit to another.

use serde::{Deserialize, Serialize};

use crate::incident::ids::{DeviceId, KitId};
use crate::incident::text::Words;
use crate::rules::supplies::Item;

/// Somebody counted one item of a kit. A later count replaces an earlier one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StockCounted {
    /// Of what.
    pub item: Item,
    /// How many are there, 0 to 9999.
    #[schema(maximum = 9999)]
    pub count: u32,
}

/// How many of one item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemCount {
    /// Of what.
    pub item: Item,
    /// How many, 0 to 9999, those out of date included.
    #[schema(maximum = 9999)]
    pub count: u32,
    /// How many of them are out of date, wet or torn, 0 to 9999.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schema(maximum = 9999)]
    pub out_of_date: u32,
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands over a reference"
)]
const fn is_zero(count: &u32) -> bool {
    *count == 0
}

/// Somebody went through a kit. Second shape: all that was counted at once. An item that is not named stays as
/// it was; a later count of an item replaces an earlier one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct KitCounted {
    /// What was counted, 1 to 40 items.
    #[schema(max_items = 40)]
    pub items: Vec<ItemCount>,
}

/// So many of an item went from this kit into another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ItemMoved {
    /// Of what.
    pub item: Item,
    /// How many, 1 to 9999.
    #[schema(minimum = 1, maximum = 9999)]
    pub count: u32,
}

/// Things went from this kit into another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StockMoved {
    /// Into which kit.
    pub to: KitId,
    /// What, 1 to 40 items.
    #[schema(max_items = 40)]
    pub items: Vec<ItemMoved>,
}

/// What a kit is called and where it is: with somebody or at a place. What is left out stays as it was; a place
/// said without a carrier puts it down there.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct KitDescribed {
    /// What people call it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub name: Option<Words>,
    /// Where it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>, max_length = 80)]
    pub place: Option<Words>,
    /// Who carries it: what they use comes out of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carrier: Option<DeviceId>,
}
