"""Reference pictures and what compares with them; `python -m tests.gold.renew` writes them anew."""
