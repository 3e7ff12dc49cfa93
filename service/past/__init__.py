"""Past tickets out of a till's CSV, for rush studies.

Reading order: `columns` (which heading is what), `moments` (dates and times as tills write them),
`table` (the file as rows), `rounds` (rows become tickets).
"""
