"""Frozen records without behaviour: what is asked, what is answered, what is wrong."""
