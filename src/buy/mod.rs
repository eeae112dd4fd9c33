//! What has to be bought?

pub mod nest;
