//! Studio.
