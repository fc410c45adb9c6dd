"""The few dialogs that stand outside the main flow."""
