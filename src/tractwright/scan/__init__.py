"""What a scan says: the pattern on the head, and the room there is."""
