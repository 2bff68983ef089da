//! The county office: enrol devices, take bundles in, review, reply, and the office page.

pub mod desk;
