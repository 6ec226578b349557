"""The words by which a paper leads whoever holds it to the page that checks."""

from labels.tongue import Tongue


def words(say: Tongue) -> str:
    """Return how to check what the square on a paper says, of an instrument's own."""
    return say(
        "Ask the shop for its page that checks. In a browser of today, with no "
        "network, give it what the square says, or the owner certificate: the answer "
        "is YES; YES, BUT; NO; or CANNOT TELL."
    )
