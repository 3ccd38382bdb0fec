"""Frozen records without behavior: what is asked, what is answered, what is wrong."""
