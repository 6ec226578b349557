"""The shop's own rules, as texts with a version that an entry adopts."""
