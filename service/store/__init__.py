"""Where a bar's night is kept. The only folder with SQL: SQLite now, one contract for all."""

from .contract import Batch, Kept, Opened, Store
from .sqlite import SqliteStore, StoreTrouble

__all__ = ["Batch", "Kept", "Opened", "SqliteStore", "Store", "StoreTrouble"]
