# Cómo se dice un rechazo.
not-accepted = { $place }: `{ $seen }` no vale; vale: { $accepted }
is-missing = falta { $place }; vale: { $accepted }
finding-row = { $file } fila { $row }
findings-more = y { $count } más
nearest = ; lo más parecido: { $names }

# Por qué no se hizo algo.
refused-not-ticked = sin marcar: { $lines }; ¿se dieron?
refused-not-found = no hay { $what ->
    [lot] ningún lote
    [stream] ningún material
    [cohort] ninguna cohorte
    [proposal] ninguna propuesta
    [version] ninguna versión
    [supplier-in-month] ningún proveedor en el mes
    [supplier] ningún proveedor
    [buyer] ningún comprador
    [harvest] ninguna cosecha
    [ticket-not-struck] ningún tique sin anular
   *[record] ningún registro
} `{ $seen }`{ $nearest }
refused-too-much = el lote `{ $lot }` tiene { $held }, y se pidieron { $asked }
refused-hangs = ya salió peso del lote de `{ $what }`, así que no se puede anular; depende de él: { $hanging }
refused-too-late = { $what } se escribió hace más de dos minutos, así que no se deshace sin un motivo
refused-fed-already = la hoja `r{ $sheet }` ya se dio, en el registro `r{ $fed }`
refused-no-sheet = no hay ninguna hoja de la noche del { $night } que anotar como dada{ $before }
refused-fed-before = ; la hoja de la noche anterior, r{ $seq }, se dio como r{ $fed }
refused-not-a-sheet = el registro `{ $seen }` no es una hoja vigente
refused-unplanned = no se pudieron planear las noches: { $why }
refused-nothing-due = a ninguna cohorte le toca comer la noche del { $night }
refused-any-night = { $first } o cualquiera hasta { $last }
refused-had = ya comieron esta noche: { $groups }
refused-later = según su plan de alimentación: { $cohorts }
refused-cohort-there = la cohorte `{ $name }` ya está en bandejas, desde el registro `r{ $seq }`
refused-month-runs = { $month } dura hasta { $until } hora local; vale: un mes que ya acabó
refused-nothing-changed = { $month } está cerrado como versión { $version }, y desde entonces no cambió ninguna cifra
refused-demo = la granja de ejemplo incluida no se puede representar: { $error }
