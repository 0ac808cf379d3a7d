# What intake staff see once a bucket is in the book.
ticket-title = Ticket { $ticket } (no. { $number })
ticket-from = from
ticket-weighed = weighed
ticket-weighed-by = { $when } by { $who }
ticket-sent-by-scale = sent by scale { $scale }
ticket-typed-in = typed in
ticket-gross = gross
ticket-tare = tare
ticket-net-estimated = net, estimated by volume
ticket-on-hand = on hand
ticket-put = Put it: { $place }
ticket-use = Use: { $note }
ticket-there-already = Already in the book; nothing was written.
ticket-refused = Kept as refused, no. { $number }. Nothing went into stock.
ticket-kept = Kept as no. { $number }.
ticket-strike = { $state } To strike it: trayful strike { $ticket } --why REASON
caution = Caution: { $caution }
