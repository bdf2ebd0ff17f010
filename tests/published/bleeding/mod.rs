//! The bleeding ladder, its clocks and the supplies, against vectors and by properties.

mod functions;
mod names;
mod properties;
mod sequences;
mod sequences_file;
mod supplies;
