"""Put what several wrong answers share in front of each."""

__all__ = ["behind"]


def behind(helpers: str, answers: dict[str, str]) -> dict[str, str]:
    """Put helpers in front of answers; a later definition wins."""
    return {what: f"{helpers}\n{source}" for what, source in answers.items()}
