"""A farm with every table and nearly every key that a farm file may hold, to be spoilt."""

from tests.tui.farms import FROST, PLACES, RIPENSIS, SITE, STANDING, batch

EVERY = "\n".join(
    (
        """
[farm]
name = "Every Lane"
units = "us"
week_starts = "sunday"
hours_per_week = {mar = 20, oct = 8}
currency = "GBP"
registration = "GB-00417"
country = "GB"
""",
        SITE + FROST,
        """
region = "GB"
coldest = -12
[site.temperature]
mean_max = [45, 46, 50, 55, 61, 66, 70, 69, 64, 57, 50, 46]
mean_min = [34, 34, 36, 39, 44, 49, 53, 52, 48, 43, 38, 35]
[site.marks]
"rooks nest" = {latest = ["bud swell", "1 Mar"]}
"moss dries" = "rooks nest + 3 weeks"
""",
        PLACES,
        """
[[place]]
name = "lean-to"
under_cover = true
serves = ["cold frame"]
lot_loss_per_year = 0.05
room = ["6 trays", "120 pots"]
""",
        STANDING,
        batch(
            "Z1", more='cultivar = "Pale"\nplace = "cold store"\nfrom = "the brook"\ncame = 2026-11-20\nnote = "dry"'
        ),
        batch("Z2", count=80, more="ready = 2028-05-01"),
        """
[[batch]]
id = "G1"
species = "Malus domestica"
cultivar = "Grey"
method = "bench graft"
count = 20
start = 2027-01-04
rootstock = "MM106"
[[stock]]
lot = "L1"
species = "bankside fig"
cultivar = "Pale"
form = "bare root"
grade = "first"
count = 40
place = "stock beds"
[[stock]]
species = "Corylus avellana"
form = "seed"
unit = "g"
count = 900
place = "cold store"
[[stock_plant]]
id = "the row"
species = "Ribes nigrum"
cultivar = "Ben Lomond"
material = "cuttings"
place = "stock beds"
count = 8
planted = 2022
yields = {"1" = 5, "3" = 20}
[[need]]
id = "O1"
species = "bankside fig"
cultivar = "Pale"
form = "bare root"
grade = "first"
count = 30
by = 2027-12-01
sure = 0.8
who = "Rowan House"
[[need]]
species = "Ribes nigrum"
count = 12
by = 2029-02-15
[[customer]]
name = "Rowan House"
latitude = 57.1
longitude = -2.1
travel_days = 2
last_frost = {"50%" = "05-20", "10%" = "06-02"}
first_frost = {"10%" = "09-20", "50%" = "10-04"}
refuses = ["Prunus"]
because = "a firm's own rule"
[[customer]]
name = "Sea Lodge"
last_day = "03-20"
[[price]]
item = "hour"
each = 15
[[price]]
item = "rootstock"
species = "Malus domestica"
hundred = 105
[[price]]
item = "seed"
packet = 3.5
seeds = 200
[[planting]]
name = "the brook orchard"
planted = 2014-11-22
form = "bare root"
yearly_survival = 0.98
first_year_survival = 0.9
[[planting.position]]
id = "A"
species = "Malus domestica"
cultivar = "Grey"
count = 4
at_m = [2.0, 16.0]
spacing_m = 6.5
bearing_deg = 45
layer = "middle"
raised = "vegetative"
bearing_years = [3, 5]
understudies = [{species = "Corylus avellana", at_m = [2.0, 19.0], count = 2, cultivar = "local", id = "AU"}, "hazel"]
[[planting.position]]
id = "H"
species = "hazel"
count = 2
layer = "shrub"
purpose = "guard"
planted = 2016-01-10
yearly_survival = 0.99
[[planting]]
name = "the wind belt"
season = "autumn 2028"
sure = 0.9
[[planting.position]]
species = "bankside fig"
count = 6
spacing_m = 0.4
""",
        RIPENSIS,
    )
)
