"""`widger thermometer`: what the farm's daily record of temperature says; it writes nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.commands.shared.call import GOOD, Command, Unusable, print_json
from tui.commands.shared.farms import enter, farm_path, farm_word
from tui.out import say

if TYPE_CHECKING:
    from argparse import Namespace


def run(call: Namespace) -> int:
    house = enter(farm_path(farm_word(call)), call.on)
    farm, site = house.farm, house.farm.site
    if not site.record:
        raise Unusable(
            'this farm names no record: write record = "thermometer.csv" under [site.temperature], '
            "a file with the header date,min,max and a line a day"
        )
    from engine.almanac.thermometer import Record, of_late, read_record
    from engine.almanac.warmth_reached import Climate, lead_days
    from engine.almanac.years import years_of
    from tui.paper.thermometer import Told, thermometer_json, thermometer_sheet
    from tui.thermometer import Unreadable, record_path, record_text

    try:
        found = read_record(record_text(record_path(house.path, farm)), farm.units)
    except Unreadable as fault:
        raise Unusable(f"record: {fault}") from None
    today = call.on.toordinal()
    record = Record({day: pair for day, pair in found.days.items() if day < today}, found.refused)
    north = site.latitude >= 0
    years = years_of(record, north)
    temperature, lead = site.temperature or years.temperature, None
    if temperature is not None:
        lead = lead_days(Climate(temperature, north, site.zone, of_late(record, today)), today)
    told = Told(farm, site.record, record, years, lead)
    if call.json:
        print_json(thermometer_json(told))
    else:
        say(thermometer_sheet(told))
    return GOOD


COMMAND = Command(
    run,
    "FARM",
    "what the farm's daily record of temperature says, to paste into the farm file; writes nothing",
)
