# Lo que ve quien recibe, cuando el cubo ya está en el libro.
ticket-title = Tique { $ticket } (n.º { $number })
ticket-from = de
ticket-weighed = pesado
ticket-weighed-by = { $when }, { $who }
ticket-sent-by-scale = enviado por la balanza { $scale }
ticket-typed-in = escrito a mano
ticket-gross = bruto
ticket-tare = tara
ticket-net-estimated = neto, estimado por volumen
ticket-on-hand = en existencia
ticket-put = Dónde: { $place }
ticket-use = Uso: { $note }
ticket-there-already = Ya estaba en el libro; no se escribió nada.
ticket-refused = Guardado como rechazado, n.º { $number }. Nada entró en existencias.
ticket-kept = Guardado con el n.º { $number }.
ticket-strike = { $state } Para anularlo: trayful strike { $ticket } --why MOTIVO
caution = Precaución: { $caution }
