"""The web application: the key board, the trucks, the phone sheet, the same as JSON."""
