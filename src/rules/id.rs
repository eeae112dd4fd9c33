//! Ids of the rules. A test holds them against the book, both ways.
