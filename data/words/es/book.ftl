# Un archivo de tiques recibido.
import-title = Importación de { $file }
import-told = { $new } nuevos, { $already } ya en el libro, { $refused } cargas rechazadas entre los nuevos; neto { $weight }
import-kept = Guardados con los n.º { $first } a { $last }. Para anular uno: trayful strike TIQUE --why MOTIVO
import-taken-as = «{ $word }» se tomó como { $stream }.

# Si el libro está entero, y sus copias.
check-title = Revisión de { $file }
check-whole = El libro está entero: { $records ->
    [one] { $records } registro releído y comparado
   *[other] { $records } registros releídos y comparados
}, { $tickets ->
    [one] { $tickets } tique numerado
   *[other] { $tickets } tiques numerados
} sin saltos.
check-not-whole = El libro NO está entero: { $flaws ->
    [one] { $flaws } defecto
   *[other] { $flaws } defectos
}.
check-seal-there = El sello impreso está en el libro, sin cambios.
check-tables-shipped = Tablas: { $streams ->
    [one] { $streams } material
   *[other] { $streams } materiales
}, todas como vienen con el programa.
check-tables = Tablas: { $streams ->
    [one] { $streams } material
   *[other] { $streams } materiales
}, { $own }.
check-table-from = { $name } de { $path }
check-seal = Sello del libro { $seal }. Un libro cortado al final parece entero por sí solo: compare el sello con uno impreso antes, `trayful check --seal SELLO`.
keep-title = Copia guardada en { $file }
keep-whole = Releída y entera, sello { $seal }. Guárdela en otro disco.
papers-title = Escrito en { $folder }
papers-what = Páginas de manual en man, autocompletado para terminales en completions, cómo son las respuestas a --json en schema.
brought-up = El libro pasó del esquema { $from } al { $to }. Como estaba antes queda en { $copy }, releído y entero.

# Archivos, la demostración y la página.
written = Escrito: { $file }
demo-plays = Una granja inventada, { $days } días, en { $file } ...
demo-next = Tres cosas que probar ahora
demo-next-today = El día de un vistazo: trayful --daybook { $file }
demo-next-weigh = Pesar un cubo propio: trayful --daybook { $file } weigh
demo-next-month = Todo el mes pasado, para entregar: trayful --daybook { $file } month { $month }
demo-came-in = Llegaron cubos
demo-ticket = tique
demo-stopped = El último se detuvo en el muelle. Ninguna mezcla puede usarlo.
dock-not-encrypted = Lo que las tabletas envían por esta red no va cifrado: otros en ella podrían leerlo.
dock-stop = Pare con Ctrl-C; lo confirmado está en el libro.
