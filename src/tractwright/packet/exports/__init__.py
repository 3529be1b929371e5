"""One file a thing that goes out: write(contents) gives file names and bytes. Found by walking the folder."""
