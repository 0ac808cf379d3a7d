# Words that head columns, name lines and label charts on many sheets.
supplier = supplier
stream = stream
month = month
when = when
why = why
weight = weight
destination = destination
loads = loads
refused-loads = refused loads
received = received
picked-out = picked out
refused = refused
diverted = diverted
net = net
all = all
all-suppliers = All suppliers
opening = opening
closing = closing
came = came
fed = fed
water = water
bought-on-the-night = bought on the night
other-ways = other ways
shrink = shrink
scale-explains = scale explains
cohort = cohort
larvae-fresh = larvae, fresh
hatched = hatched
not-known = not known
moisture-pct = moisture %
record = record
version = version { $version }
weight-of-stream = { $weight } of { $stream }
weekday = { $day ->
    [0] Mon
    [1] Tue
    [2] Wed
    [3] Thu
    [4] Fri
    [5] Sat
   *[6] Sun
}
lot-named = lot { $what }
day-short = { $weekday } { $day } { $month ->
    [1] Jan
    [2] Feb
    [3] Mar
    [4] Apr
    [5] May
    [6] Jun
    [7] Jul
    [8] Aug
    [9] Sep
    [10] Oct
    [11] Nov
   *[12] Dec
}
month-named = { $month ->
    [1] January
    [2] February
    [3] March
    [4] April
    [5] May
    [6] June
    [7] July
    [8] August
    [9] September
    [10] October
    [11] November
   *[12] December
} { $year }
pct-of-dry = { $value } % DM
from-to = { $low } to { $high }
night = night
feed-group = feed group
up-to = up to { $what }
days = days
less-than = less than { $number }
measure-of = { $stream } ({ $measure })
# A figure against its window.
standing = { $standing ->
    [inside] inside
    [below] TOO LOW
    [above] TOO HIGH
    [limit] BEYOND THE LIMIT
   *[none] no value
}
# How likely: so many times of so many.
chance = { $times } in { $of }
