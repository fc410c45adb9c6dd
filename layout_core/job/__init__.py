"""What the shop is making: the job, its edits, its tables, its file."""
