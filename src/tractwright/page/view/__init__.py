"""What is seen: each module one part of the page, given the desk and drawn anew when it changes."""
