"""The register of keys, the keeper's own, and the order in which they are answered."""
