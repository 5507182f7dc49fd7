"""Where a number came from: an instrument, a paper, a decision or a guess."""

from enum import Enum


class Source(Enum):
    """Where a number came from; the value is the phrase that closes a measured text."""

    CALLIPERS = "by callipers"
    RULER = "by ruler"
    TAPE = "by tape"
    GAUGE = "by gauge"  # angle gauge or protractor; feeler or height gauge for a length
    SCALES = "by scales"  # kitchen scales; hanging scales for a force
    METER = "by meter"  # multimeter, thermometer, tachometer, stopwatch
    COUNTING = "by counting"
    LABEL = "from label"  # printed on the part, its box or its data sheet
    PUBLISHED = "from published data"  # of the full-size vehicle
    PHOTO = "from photo"
    SCAN = "from scan"
    COMPUTED = "by computation"
    CHOSEN = "by choice"  # the builder's own decision: wanted, not measured
    GUESS = "by guess"

    @property
    def word(self) -> str:
        """The phrase without its preposition.

        >>> Source.PHOTO.word
        'photo'
        """
        return self.value.split(" ", 1)[1]


_SPELLINGS = {
    "calliper": Source.CALLIPERS,
    "caliper": Source.CALLIPERS,
    "calipers": Source.CALLIPERS,
    "rule": Source.RULER,
    "tape measure": Source.TAPE,
    "angle gauge": Source.GAUGE,
    "protractor": Source.GAUGE,
    "scale": Source.SCALES,
    "kitchen scale": Source.SCALES,
    "kitchen scales": Source.SCALES,
    "multimeter": Source.METER,
    "thermometer": Source.METER,
    "stopwatch": Source.METER,
    "count": Source.COUNTING,
    "data sheet": Source.LABEL,
    "datasheet": Source.LABEL,
    "published": Source.PUBLISHED,
    "photograph": Source.PHOTO,
    "photos": Source.PHOTO,
    "computed": Source.COMPUTED,
    "chosen": Source.CHOSEN,
    "eye": Source.GUESS,
}

SOURCE_WORDS = {source.word: source for source in Source} | _SPELLINGS
"""Every word that names a source after "by" or "from", in small letters."""
