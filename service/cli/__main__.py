"""``python -m service.cli``, where the command ``threedeep`` is not on the path."""

import sys

from service.cli import main

sys.exit(main())
