"""A tongue that needs a third more room than English, as other languages do."""

from gettext import NullTranslations

from labels.tongue import Tongue

FILLER = "aufgezeichnet und gewogen "


class Longer(NullTranslations):
    """A catalogue whose words are those of English, and a third more behind them."""

    def gettext(self, message: str) -> str:
        """Return words, and as much behind them as a third of them."""
        more = (FILLER * (len(message) // 60 + 1))[: len(message) // 3].strip()
        return f"{message} {more}".strip()

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the words of a number, a third longer."""
        return self.gettext(msgid1 if n == 1 else msgid2)


def wordy(_language: str) -> Tongue:
    """Return that tongue, whatever language was asked for."""
    return Tongue(language="en", catalogue=Longer())
