"""What keeps breaking: recurrent faults, lives of parts, when a renewal pays, what is to be expected."""
