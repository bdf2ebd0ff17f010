//! Rules against published tables and vectors.

mod bleeding;
