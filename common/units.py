"""Units that more than one layer converts between."""

from __future__ import annotations

#: Exact by definition since 1959 (international inch).
MM_PER_INCH = 25.4
