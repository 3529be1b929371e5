"""What happens at the end of a pipe, and in a throat between two volumes."""
