"""From plain sheets to PDF, by typst; everything the builder typed goes in as data and never as markup."""

from coachwork.papers.press.printing import pdf

__all__ = ["pdf"]
