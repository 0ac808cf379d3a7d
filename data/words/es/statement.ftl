# El mes de un proveedor.
statement-title = Extracto para { $supplier }, { $month }
statement-from = De { $farm } · del { $first } al { $last }, días locales, { $zone }
statement-farm-without-name = la granja (aún sin nombre: `trayful farm --name`)
statement-scale-not-verified = No se pesó en báscula verificada.
statement-scale-verified = Pesado en báscula verificada: { $why }.
statement-received = { $loads ->
    [one] Recibido { $received } en { $loads } carga, desviado { $diverted }
   *[other] Recibido { $received } en { $loads } cargas, desviado { $diverted }
}
statement-where-it-went = Adónde fue en el mes
statement-by-stream = Por material
statement-tickets = Tickets
statement-weeks = Recibido por semana y material, { $unit }
statement-weeks-drawn = Una barra por semana del mes, apilada por material; las cifras están en la tabla de abajo
statement-received-kg = recibido kg
statement-received-lb = recibido lb
statement-picked-out-kg = apartado kg
statement-diverted-kg = desviado kg
statement-diverted-lb = desviado lb
statement-stock-and-destination = existencias y destino (Estándar FLW)
statement-opening = existencias al inicio
statement-closing = existencias al final
statement-not-covered = { $stream }, no cubierto por el estándar
statement-back-to-you = devuelto a usted
statement-shrink = merma (secado, goteo, báscula)
statement-number = n.º
statement-gross = bruto { $unit }
statement-tare = tara { $unit }
statement-net = neto { $unit }
statement-weighed = Pesos brutos: { $sent } enviados por la propia balanza, { $typed } escritos a mano.
statement-estimated = * estimado por volumen y densidad, no pesado.
statement-refused = r #{ $number } rechazado, no recibido: { $why }.
statement-of-another = { $stream } de otro proveedor
statement-corrected = #{ $number } corregido; se escribió primero como { $first }.
statement-missing = No está en el libro: { $missing }. El libro no está entero; use `trayful check`.
statement-seal = Sello del libro { $seal }: quien tiene esta hoja puede ver si el libro de la granja cambió después, con `trayful check --seal { $seal }`.

# Cada número de ticket entre el primero y el último de un proveedor.
numbers = Los números de ticket van sin saltos en toda la granja. Del #{ $first } al #{ $last } son { $all }: { $told }.
numbers-listed = en esta lista: { $count }
numbers-struck = anulados: { $count } ({ $which })
numbers-struck-why = #{ $number }: { $why }
numbers-other-month = suyos pesados en otro mes: { $count } ({ $which })
numbers-other = de otros proveedores o comprados: { $count }
