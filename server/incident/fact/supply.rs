//! What is reported about supplies.

use serde::{Deserialize, Serialize};

use crate::rules::supplies::Item;

/// Somebody counted what is in a kit. A later count replaces an earlier one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StockCounted {
    /// Of what.
    pub item: Item,
    /// How many are there, 0 to 9999.
    #[schema(maximum = 9999)]
    pub count: u32,
}
