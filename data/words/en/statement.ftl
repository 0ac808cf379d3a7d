# A supplier's month.
statement-title = Statement for { $supplier }, { $month }
statement-from = From { $farm } · { $first } to { $last }, local days, { $zone }
statement-farm-without-name = the farm (no name yet: `trayful farm --name`)
statement-scale-not-verified = Not weighed on a verified scale.
statement-scale-verified = Weighed on a verified scale: { $why }.
statement-received = { $loads ->
    [one] Received { $received } in { $loads } load, diverted { $diverted }
   *[other] Received { $received } in { $loads } loads, diverted { $diverted }
}
statement-where-it-went = Where it went in the month
statement-by-stream = By stream
statement-tickets = Tickets
statement-weeks = Received by week and stream, { $unit }
statement-weeks-drawn = A bar for each week of the month, stacked by stream; the figures are in the table below
statement-received-kg = received kg
statement-received-lb = received lb
statement-picked-out-kg = picked out kg
statement-diverted-kg = diverted kg
statement-diverted-lb = diverted lb
statement-stock-and-destination = stock and destination (FLW Standard)
statement-opening = opening stock
statement-closing = closing stock
statement-not-covered = { $stream }, not covered by the standard
statement-back-to-you = back to you
statement-shrink = shrink (drying, drip, scale)
statement-number = no.
statement-gross = gross { $unit }
statement-tare = tare { $unit }
statement-net = net { $unit }
statement-weighed = Gross weights: { $sent } sent by the scale itself, { $typed } typed in.
statement-estimated = * estimated by volume and bulk density, not weighed.
statement-refused = r #{ $number } refused, not received: { $why }.
statement-of-another = another supplier's { $stream }
statement-corrected = #{ $number } corrected; first written as { $first }.
statement-missing = Not in the book: { $missing }. The book is not whole; run `trayful check`.
statement-seal = Book seal { $seal }: whoever has this page can see whether the farm's book was changed since, with `trayful check --seal { $seal }`.

# Every ticket number between a supplier's first and last.
numbers = Ticket numbers run without gaps over the whole farm. #{ $first } to #{ $last } are { $all }: { $told }.
numbers-listed = { $count } listed here
numbers-struck = { $count } struck ({ $which })
numbers-struck-why = #{ $number }: { $why }
numbers-other-month = { $count } of yours weighed in another month ({ $which })
numbers-other = { $count } of other suppliers or bought stock
