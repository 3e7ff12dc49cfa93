"""The routes under ``/v1``, thin, one file by subject, and the shapes they speak."""
