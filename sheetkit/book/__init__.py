"""The only folder that knows files: reading the maker's workbook and grafting results into it."""
