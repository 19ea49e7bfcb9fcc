"""Paper: what the views say, set by templates into PDF; no clock, no record, no rules of its own."""
