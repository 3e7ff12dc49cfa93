"""Where a bar's night is kept. The only folder with SQL: SQLite now, one contract for all."""

from .contract import Batch, Kept, KeptNight, KeptRush, Opened, Store
from .sqlite import SqliteStore, StoreTrouble

__all__ = [
    "Batch",
    "Kept",
    "KeptNight",
    "KeptRush",
    "Opened",
    "SqliteStore",
    "Store",
    "StoreTrouble",
]
