# What to mind while mixing.
mix-tip-whole = Tip in all that is left, no need to weigh: { $lots }.
mix-look-first = look first, past their keeping time: { $lots }. In open air, don't put your nose in the bucket. Good: `trayful look { $one } --fit`. Mouldy or foul: `trayful look { $one } --not-fit --note WHAT`, then mix anew.
mix-too-old = what is too old is held back (below). If one of them is still good: `trayful look { $one } --fit`; else `trayful discard { $one } --spoiled`.
mix-pick-out = pick the parts out before mixing (weights are without them): { $lots }. Use a tool and cut gloves for bone and shell.
mix-lift = a whole batch is above 23 kg (51 lb), the most for one lift (NIOSH load constant, ideal conditions). Mix and carry it in portions.
mix-fed-already = fed tonight already, so not on this sheet: { $groups }
mix-fed-later = not fed tonight, by their feeding plan: { $cohorts }

# What to do next, and where the figures come from.
mix-not-recorded = Not recorded. `trayful mix` without --look records the sheet for `trayful fed`.
mix-once-fed = Once fed: trayful fed --sheet r{ $seq }, with --change LOT=WEIGHT for what was taken otherwise
mix-windows-all = Where tonight's windows come from: all are { $label } (`trayful stages` shows the studies).
mix-windows = Windows of { $windows }: { $label }.
mix-stand-in = { $id }: { $stand_in }.
