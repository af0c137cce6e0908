"""One module per page: its record, and the view that parses, calls a service and shows it.

Start reading in `page` (what a page is) and `today`; `row` is the one form for any table's row.
"""
