# Cómo se dice un rechazo.
not-accepted = { $place }: `{ $seen }` no vale; vale: { $accepted }
is-missing = falta { $place }; vale: { $accepted }
finding-row = { $file } fila { $row }
findings-more = y { $count } más
nearest = ; lo más parecido: { $names }

# Por qué no se hizo algo.
refused-not-ticked = ¿También se dieron estas? No están marcadas: { $lines }.
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

# Por qué un libro no se pudo abrir, leer o escribir.
book-missing = no hay ningún libro en `{ $path }`
book-exists = `{ $path }` ya existe; vale: el nombre de un archivo que aún no exista
book-not-one = `{ $path }` no es un libro: { $why }
no-book-other-program = es una base de datos de otro programa
no-book-folder = es una carpeta
no-book-empty = está vacío
no-book-no-sqlite = no es un archivo SQLite
book-newer = `{ $path }` tiene el esquema { $found }; vale: el esquema { $known } o uno anterior
book-locked = otro programa está usando `{ $path }`; no se escribió nada
book-disk-full = el disco donde está `{ $path }` está lleno; no se escribió nada
book-read-only = `{ $path }` se puede leer pero no escribir: el archivo, la carpeta o el disco es de solo lectura
book-unfolded = `{ $path }` está donde no se puede escribir, y `{ $beside }`, al lado, aún tiene páginas suyas; vale: copiar los dos a una carpeta donde pueda escribir
book-moved = `{ $path }` se movió, se quitó, se cambió por otro o se cortó mientras estaba abierto aquí, así que no se guarda nada
book-not-whole = `{ $path }` no está entero, así que nada se entrega de él: { $first } ({ $flaws } en total)
book-damaged = `{ $path }` está dañado: { $what }
book-nothing-left = ningún registro de `{ $path }` se puede leer y probar, así que no se hizo un libro nuevo
book-settings-lost = los ajustes de la granja no se pueden leer de `{ $path }`, y un libro no puede estar sin ellos; no se hizo un libro nuevo
book-shut = `{ $path }` no se pudo abrir; vale: un archivo que este usuario pueda leer, en una carpeta con sitio
book-file = `{ $path }` no se pudo { $deed ->
    [looked-at] mirar
    [placed] poner en su sitio
   *[opened] abrir
}
book-work-refused = la base de datos se negó a trabajar con `{ $path }`
book-not-taken = el libro no toma esto: { $what }
book-rule-broken = { $rule ->
    [CHECK] lleva una cifra o una palabra que el libro no puede guardar
    [UNIQUE] lleva un número o un id que ya está
    [NOT-NULL] le falta algo
   *[other] apunta a un registro que no está
}
book-broken-off = un registro de este grupo no se pudo escribir, así que no se guardó ninguno
book-not-brought-up = `{ $path }` es del esquema { $found } y se dejó como estaba, porque antes no se pudo hacer una copia verificada: { $why }
book-copy-not-whole = la copia `{ $path }` no está íntegra y se quitó: { $what }

# Por qué el libro no toma un registro.
record-not-accepted = registro `{ $id }`: `{ $field }` es `{ $seen }`; vale: { $accepted }
record-conflict = Esto ya está en el libro, como registro { $seq }. Allí `{ $field }` es { $kept }, aquí es { $asked }. El libro guarda lo que tiene. Para anotar también esto, introdúzcalo de nuevo (`{ $id }` ya está usado).
record-closed-stays = el registro `r{ $seq }` cerró un mes y no se puede anular; vale: otra versión con `month --close --why`
record-version-out-of-turn = la versión { $seen } de { $month } no sigue el orden; vale: la versión { $next }
record-none = no hay ningún registro `r{ $seq }`
record-not-a-lot = el registro `r{ $seq }` no es un tique, así que no tiene lote
record-not-a-sheet = el registro `r{ $seq }` no es una hoja, así que no se puede dar nada según él
record-not-a-cohort = el registro `r{ $seq }` no es una cohorte, así que no se cosecha nada de él
record-cohort-struck = la cohorte del registro `r{ $seq }` está anulada por el registro `r{ $by }`
record-cohort-in-use = la cohorte del registro `r{ $seq }` no se puede anular mientras sigan en pie estos registros: { $by }
record-stream-in-use = el material del registro `r{ $seq }` no se puede anular mientras sigan en pie cargas suyas: { $by }; vale: antes corregir cada una a otro material
record-lot-refused = el lote del registro `r{ $seq }` se rechazó al llegar y nunca estuvo en existencias
record-lot-struck = el tique del registro `r{ $seq }` está anulado por el registro `r{ $by }`, así que no tiene lote
record-before-lot = el registro `{ $id }` ocurrió el `{ $at }`, antes de que el lote del registro `r{ $lot_seq }` entrara el `{ $came }`
record-strike-stands = el registro `r{ $seq }` es una anulación, y una anulación queda; vale: un registro de cualquier otra clase, o anotar de nuevo lo anulado
record-struck-already = el registro `r{ $seq }` ya está anulado, por el registro `r{ $by }`
record-last-farm = el registro `r{ $seq }` tiene los únicos ajustes de la granja; vale: primero ajustes nuevos
record-weight-left = ya salió peso del lote del registro `r{ $seq }` por los registros { $by }; vale: anular esos primero
record-ambiguous = `{ $reference }` es el id del registro `r{ $by_id }` y el número del registro `r{ $by_number }`; vale: `r{ $by_id }` o `r{ $by_number }`
record-not-a-seal = `{ $seen }` no es un sello; vale: un número de registro, un guion y las primeras 8 cifras o más de su huella, como `57-1a2b-3c4d-5e6f-7a8b`
record-read-back = el registro `{ $id }` se lee distinto de como se escribió; no se guardó nada
