# What a newcomer is asked, and what to do next.
begin-ask-zone = Time zone of the farm
begin-ask-zone-form = such as America/Denver or Europe/Madrid
begin-ask-unit = Unit the scale shows
begin-ask-division = Smallest step the scale shows
begin-ask-division-form = such as 0.1
begin-ask-currency = Currency
begin-ask-currency-form = its three letters, such as USD or EUR
begin-ask-region = Where the farm is, for the rules on feed
begin-ask-larvae-for = What the larvae are for
begin-ask-mark = Mark before decimals, as the scale shows it
begin-ask-container = A container, weighed empty
begin-ask-container-form = name=weight, or name=weight/volume, such as pail=1.5lb/5gal
begin-ask-cohort = Are there larvae on trays now? Then put down the first cohort
begin-tomorrow = Tomorrow morning: put the first bucket on the scale and run `trayful weigh`. It asks for the rest, bucket by bucket.
begin-evening = In the evening: `trayful mix` prints what to feed, and `trayful fed` keeps that it was done.
begin-evening-cohort = As soon as there are larvae on trays: `trayful cohort add`. In the evening `trayful mix` prints what to feed, and `trayful fed` keeps that it was done.
mix-ask-cohort = No larvae are on trays yet. Put down a cohort now?
weigh-another = Another bucket?

# What is asked for at a terminal where it was left out.
ask-or-enter = { $asks } ({ $accepted }; Enter to go on):
ask-lot = Lot
ask-lot-form = its ticket, such as 12; `trayful stock` lists the lots
ask-ticket = Ticket
ask-ticket-form = its number or id, such as 12
ask-stream = Stream
ask-stream-form = such as spent-grain; `trayful streams` lists them
ask-supplier = Supplier
ask-supplier-form = as on the tickets
ask-gross = Weight with the container
ask-gross-form = such as 32.2; { $unit } unless you say another unit
ask-tare-empty = Weight of the empty container
ask-tare-form = 0 if there is none
ask-tare-or-container = 0 if there is none; or a container: { $known }
ask-weight-now = What the scale says now, without the container
ask-weight-form = a weight such as 32.2lb
ask-outlet = Where it goes
ask-tested = How wet: grams of a sample before drying, or what a squeeze in the hand shows
ask-tested-form = grams such as 100; or one of { $grades }
ask-dry = Grams after drying
ask-dry-form = such as 23.5
ask-item = What it is
ask-amount = How much, in { $currency }
ask-amount-form = such as 96.00
ask-cohort = Cohort
ask-cohort-form = its name, as `trayful cohort list` shows
ask-cohort-name = Name on the trays
ask-cohort-name-form = such as H1
ask-hatched = Day they hatched
ask-day-form = year, month, day, such as 2026-11-20
ask-larvae = How many larvae
ask-larvae-form = a count such as 60000
ask-trays = How many trays
ask-trays-form = a count such as 16
ask-tray-area = Size of one tray
ask-tray-area-form = such as 60x40cm, or square metres such as 0.24
ask-copy = File for the copy
ask-copy-form = one that is not there yet
ask-columns = What is taken otherwise
ask-columns-form = such as supplier=Who,stream=What

# A command line that can't be read.
usage-value = `{ $place }`: `{ $seen }` is not accepted; accepted: { $accepted }
usage-below-zero = `{ $seen }` is below zero; accepted: zero or more
usage-option = there is no option `{ $unknown }`
usage-option-near = there is no option `{ $unknown }`; nearest: `{ $near }`
usage-command = there is no command `{ $unknown }`
usage-command-near = there is no command `{ $unknown }`; nearest: { $near }
usage-missing = `{ $missing }` is missing
usage-no-value = `{ $option }` lacks its value
usage-help = `{ $command } --help` shows what there is, with an example
