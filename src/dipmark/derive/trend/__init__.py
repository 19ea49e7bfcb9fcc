"""What moves over hours: wear along a line, fluids topped up, charts with a stated rate of false alarms."""
