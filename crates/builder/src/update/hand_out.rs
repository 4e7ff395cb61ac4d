//! Handing out.
