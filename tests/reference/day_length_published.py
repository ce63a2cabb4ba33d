"""Published day lengths."""

from datetime import date

# A published table of sunrise and sunset for San Francisco, 2007, printed to the minute: longest 14 h 47 m on
# 18 to 24 June, shortest 9 h 33 m on 18 to 25 December.
SAN_FRANCISCO = (37.77, -122.42, "America/Los_Angeles")
SAN_FRANCISCO_LONGEST = (887, date(2007, 6, 18), date(2007, 6, 24))
SAN_FRANCISCO_SHORTEST = (573, date(2007, 12, 18), date(2007, 12, 25))

# botl.org, thread 14286, "Happy summer solstice day" (2007): Peters Creek, Alaska, 19 h 28 m on 21 June 2007; at Barrow
# the sun rose on 10 May 2007 at 02:06 and set on 3 August at 00:40, 84 d 22 h 34 m later.
PETERS_CREEK = (61.41, -149.45, "America/Anchorage")
PETERS_CREEK_LONGEST = (1168, date(2007, 6, 21))
BARROW = (71.29, -156.79, "America/Anchorage")
BARROW_WITHOUT_NIGHT = (date(2007, 5, 11), date(2007, 8, 2))

# Computed with PyEphem 4.2.1 (see day_length_crossings_2026.csv) at 68 N, longitude 0: without sun 1 to 2 January and 9
# to 31 December 2026, without night 27 May to 16 July 2026.
WITHOUT_SUN_ENDS_68N, WITHOUT_SUN_BEGINS_68N = date(2026, 1, 2), date(2026, 12, 9)
WITHOUT_NIGHT_68N = (date(2026, 5, 27), date(2026, 7, 16))
