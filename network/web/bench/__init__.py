"""The calibration bench: a helper for each way a household can find the figures of a calibration."""
