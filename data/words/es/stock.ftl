# Lo que hay en existencia.
stock-title = Existencias
stock-nothing = No hay nada.
stock-weigh-first = Ahora: `trayful weigh` recibe el primer cubo.
stock-total = { $lots ->
    [one] { $lots } lote, { $weight }
   *[other] { $lots } lotes, { $weight }
}
stock-lot = lote
stock-on-hand = hay
stock-age = edad, días
stock-good-for = aguanta
stock-verdict = veredicto
stock-estimated = { $weight } est.
stock-days = { $days } d
stock-days-past = pasado { $days } d
stock-moisture-tested = { $pct } { $method }
stock-moisture-learned = { $pct } aprendida
stock-moisture-book = { $pct } tabla
stock-more = ... y { $more } lotes más; `trayful stock --all` los muestra todos.
stock-spoiling = Pasa o habrá pasado su tiempo de conservación antes de la próxima noche: { $weight } en los lotes { $lots }
stock-out-of-mix = Fuera de toda mezcla esta noche, demasiado viejos o no aptos: { $lots }
stock-look-first = Lotes pasados de tiempo: mírelos al aire libre antes de usarlos; no meta la nariz en el cubo (moho y gases). Los podridos o con moho salen con `trayful lot LOT discard`.
stock-listed = { $names } y { $more } más
stock-flags = Avisos
stock-flag = { $name } { $stream }: { $flag }
lots-and-why = { $lots }: { $reason }
lot-used-up = Lote { $lot }: no queda nada
lot-next = Qué se puede hacer: trayful lot { $lot } test, look, weigh o discard
