"""The invariants that every edit keeps. They live with the document, because files need them too."""

from __future__ import annotations

from core.job.invariants import check_invariants

__all__ = ["check_invariants"]
