"""What touches the disk: plan files and tables in, solids and the bundle out, whole or not at all."""
