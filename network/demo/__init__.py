"""An invented village with weather of its own, to see and to test the hub by."""
