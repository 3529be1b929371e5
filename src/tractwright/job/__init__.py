"""The job sheet: what is wanted and known, and what is assumed where it is silent."""
