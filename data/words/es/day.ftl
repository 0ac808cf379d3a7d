# El día de un vistazo.
today-title = Hoy, { $day }, { $time }
today-came-in = Entró: { $loads ->
    [one] { $loads } carga
   *[other] { $loads } cargas
}, { $weight }
today-came-in-refused = Entró: { $loads ->
    [one] { $loads } carga
   *[other] { $loads } cargas
}, { $weight }; { $refused ->
    [one] { $refused } rechazada
   *[other] { $refused } rechazadas
}
today-on-hand = Hay: { $lots ->
    [one] { $lots } lote
   *[other] { $lots } lotes
}, { $weight }
today-spoils = Se estropea antes de la próxima noche: { $lots }
today-none-due = Noche del { $night }: ninguna bandeja pendiente.
today-due = Noche del { $night }: { $group }, { $trays ->
    [one] { $trays } bandeja
   *[other] { $trays } bandejas
}, { $weight } de materia seca
today-sheet-fed = Hoja r{ $seq }: dada
today-sheet-not-fed = Hoja r{ $seq }: todavía sin dar
next = Ahora: { $command }

# Lo que se dio.
fed-title = Dado, noche del { $night }
fed-used-up = Se acabó: { $lots }
fed-kept = Guardado como registro r{ $seq }; ya está descontado de las existencias.

# Un registro que se anula.
to-strike = Para anularlo: trayful strike { $record } --why MOTIVO
strike-title = Anulado: { $what }
strike-voids = El registro r{ $record } anula r{ $target }; los dos quedan en el libro. Las existencias y los informes no cuentan el anulado.
strike-stands = Lo anulado queda anulado: si hace falta, anótelo otra vez.
record-ticket = tique { $ticket }
record-kind = { $kind ->
    [farm] ajustes
    [container] recipiente
    [strike] anulación
    [assay] prueba de humedad
    [reweigh] nuevo pesaje
    [cohort] larvas en bandejas
    [cohort-end] fin de cohorte
    [sheet] hoja
    [fed] comida dada
    [discard] salida del almacén
    [month-closed] cierre de mes
    [harvest] cosecha
    [money] dinero anotado
    [adopted] cifra propia aceptada
    [correction] tique corregido
    [look] lote revisado
    [own-stream] material propio
    [leave] permiso de dar
   *[other] { $kind }
}
record-other = { $kind } r{ $seq }

# El permiso de una autoridad para dar un material.
allow-title = { $stream } de { $whose } se puede dar
allow-anyone = cualquier proveedor
allow-given = Permiso dado por { $who } el { $day } para: { $what }
allow-none-waited = Ningún lote lo esperaba.
allow-waited = { $lots ->
    [one] { $lots } lote lo esperaba
   *[other] { $lots } lotes lo esperaban
}: { $names } ({ $weight }). Páselos del sitio de espera a las existencias de alimento.
allow-kept = Guardado como r{ $seq }. Si lo retiran: trayful strike r{ $seq } --why MOTIVO

# Una prueba de humedad, una revisión, un nuevo pesaje, una salida.
assay-title = Lote { $lot } ({ $stream }): humedad { $pct } % ± { $spread }
assay-squeeze = La escala del puño es para forraje picado. Es una guía gruesa, con mucho margen de error. Muela la fruta entera antes de apretar.
assay-microwave = seque en pasos cortos, con un vaso de agua en el horno. Quédese al lado: las muestras se carbonizan y arden. Use el último peso antes de que se queme, y un horno que no sea para comida.
assay-kept = Desde ahora la mezcla cuenta con ello.
look-fit = Lote { $lot }: se puede dar la noche del { $night }
look-not-fit = Lote { $lot }: no se da la noche del { $night }
look-kept = `trayful mix` cuenta con ello.
reweigh-title = El lote { $lot } tiene ahora { $weight }
reweigh-shrink = { $weight } anotado como merma.
discard-title = Lote { $lot }: { $weight } { $to }
outflow = { $way ->
    [composted] al compost
    [returned] de vuelta al proveedor
    [landfilled] al vertedero
    [liquor] escurrido como lixiviado
    [picked_out] apartado a mano
    [animals] para otros animales
    [processing] para hacer otros productos
    [digestion] a un digestor
    [combustion] a quema controlada
    [land] al campo
    [discards] tirado o botado
    [fed] alimentado
    [shrink] merma
   *[sewer] por el desagüe
}
discard-left = Quedan { $weight } en el lote.
discard-liquor = el lixiviado suelta gases. Abra los tanques al aire libre, no se incline sobre ellos, nunca entre en una fosa. Adónde puede ir lo dicen las reglas locales.

# Una pregunta en el terminal.
ask-is-right = ¿Guardarlo así?
ask-yes-no = { $question } [s/N]

# Lo que un tique debía decir.
correct-title = Tique { $ticket } corregido
correct-word = { $field ->
    [supplier] proveedor
    [stream] material
    [price] { $currency } por { $unit }
   *[note] nota
}
correct-first = lo primero escrito
correct-verdict = El veredicto es ahora { $now }, ya no { $before }: { $reason }.
correct-kept = Sus pesos quedan. Existencias, meses, extractos, rastreos y dinero van con esto desde ahora; un mes cerrado lo muestra como cambio.
correct-estimated = su peso se estimó por el volumen de lo que se creyó, y queda así: `trayful lot LOT weigh` corrige lo que queda.
correct-fed-already = { $fed } ya se dio: `trayful recall { $ticket }` dice quién comió de ello.
