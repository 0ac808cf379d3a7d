# Las noches que vienen: qué alcanza, qué hacer ahora y en qué se apoya.
ahead-title = { $nights ->
    [one] La próxima { $nights } noche, desde el { $day }
   *[other] Las próximas { $nights } noches, desde el { $day }
}
ahead-on = el { $day }
ahead-from-to = del { $from } al { $to }
ahead-fits = ALCANZA: cada noche queda alimentada dentro de cada ventana con lo que hay y lo que se espera.
ahead-fits-with-advice = ALCANZA SI SIGUE EL CONSEJO: calculado otra vez con él, cada noche queda alimentada dentro de cada ventana.
ahead-does-not-fit = NO ALCANZA: a algunas noches les falta alimento, o quedan fuera de sus ventanas.
ahead-still-not = AÚN NO ALCANZA: también si hace lo que dice aquí, a algunas noches les falta alimento, o quedan fuera de sus ventanas.
ahead-missing-all = Materia seca que falta en todas las noches: { $weight }.
ahead-missing = Materia seca que falta en todas las noches: { $before } tal como viene, { $after } si hace lo que dice aquí.
ahead-undone = El tiempo se acabó antes de: { $undone }. En una terminal, --seconds da más tiempo.
ahead-thing = { $number }. { $thing }
ahead-nothing-to-do = No hay nada que hacer ahora.
ahead-no-cure = { $trouble } No sabemos qué comprar: nada de lo que compró hasta ahora lo arregla. Pida a sus proveedores más u otra cosa, o ponga menos larvas en las bandejas.
ahead-mended = { $trouble } El consejo de abajo lo arregla (resuelto otra vez con él).
ahead-room-short = Hay alimento para { $factor } veces las larvas previstas: { $larvae } por noche en vez de { $planned }.
ahead-compost = Mande a compost lo que ya no puede darse: { $all } (lotes abajo).
ahead-intake-short = Puede recibir { $weight } más de { $stream } por semana.
ahead-buy-short = Compre { $what }, pedido a más tardar el { $by }.
ahead-take = Reciba como mucho { $most } de { $stream } { $when }.
ahead-take-none = No reciba { $stream } { $when }.

ahead-why = Por qué, y qué más
ahead-short = { $count ->
    [one] { $when }: falta alimento para { $groups }: { $worst } de materia seca en una noche.
   *[other] { $when }: falta alimento para { $groups }: { $worst } de materia seca en una noche.
}
ahead-out = { $count ->
    [one] { $when }: { $how } para { $groups }: hasta { $points } puntos fuera de la ventana.
   *[other] { $when }: { $how } para { $groups }: hasta { $points } puntos fuera de la ventana.
}
ahead-too-wet = demasiado húmedo
ahead-too-dry = demasiado seco
ahead-too-high = demasiado alto en { $measure }
ahead-too-low = demasiado bajo en { $measure }
ahead-buy = Compre { $what } a más tardar el { $by }, para tenerlo el { $day } ({ $cost } { $currency }); { $proof }.
ahead-packs = { $packs ->
    [one] { $packs } paquete de { $stream } ({ $weight })
   *[other] { $packs } paquetes de { $stream } ({ $weight })
}
ahead-accept = Acepte como mucho { $most } de { $stream } { $when }, de { $expected } que se esperan: el resto se echa a perder; { $proof }.
ahead-accept-none = No acepte { $stream } { $when }, de { $expected } que se esperan: se echa a perder; { $proof }.
ahead-clear = { $count ->
    [one] { $stream } en el lote { $lots }: { $weight } no puede darse antes de que se eche a perder; mándelo a compost a más tardar el { $by }; { $proof }.
   *[other] { $stream } en los lotes { $lots }: { $weight } no puede darse antes de que se eche a perder; mándelo a compost a más tardar el { $by }; { $proof }.
}
ahead-proof-amount = calculado otra vez: ninguna noche es peor que comprando cualquier cantidad
ahead-proof-without = calculado otra vez: ninguna noche es peor sin ello
ahead-proof-less = calculado otra vez: ayuda, pero menos que comprando al gramo
ahead-kept-out = { $count ->
    [one] { $stream } en el lote { $lots }: { $weight } es demasiado viejo o se halló no apto. Mándelo a compost. Si sigue bueno: `trayful lot LOTE look --fit`.
   *[other] { $stream } en los lotes { $lots }: { $weight } es demasiado viejo o se halló no apto. Mándelo a compost. Si alguno sigue bueno: `trayful lot LOTE look --fit`.
}
ahead-intake = Puede recibir uno de estos más por semana, dado antes de que se eche a perder y sin que otra cosa se pierda por ello (calculado otra vez con ello): { $all }.
ahead-no-intake = De ningún material podría venir más cada día sin que otra cosa se pierda por ello o quede fuera de una ventana.
ahead-room = Margen para crecer: lo que hay, lo que viene y lo aconsejado alcanza para { $larvae } larvas por noche dentro de cada ventana, { $factor } veces las { $planned } previstas.
ahead-room-larvae = Por la conversión publicada eso es de { $low } a { $high } de larvas frescas por semana: de { $least } % de la materia seca ({ $least_feed }, { $least_source }) a { $most } % ({ $most_feed }, { $most_source }), larvas con 33 % de materia seca (Nayak et al. 2025, de segunda mano).
ahead-raise = Lo que más lo subiría: { $stream }; { $weight } más por semana alcanzan para { $larvae } larvas más por noche (calculado otra vez con ello).
ahead-raise-larvae = Lo que más lo subiría: { $stream }; { $weight } más por semana alcanzan para { $larvae } larvas más por noche, de { $low } a { $high } de larvas por semana (calculado otra vez con ello).
ahead-chance-short = Probabilidad de que falte alimento en { $nights } noches: { $chance } ({ $weeks } semanas jugadas, con llegadas alrededor de lo esperado y esta noche como está prevista).
ahead-in-100 = { $short } de 100 (± { $error }) si cada noche se mezcla con lo que hay; { $best } de 100 en el mejor caso, si todas las llegadas se supieran y se previeran
ahead-no-reserve = Ninguna reserva de lo que se puede comprar lo hace menos probable.
ahead-with-reserve = Con una reserva para llegadas que solo una de cada diez queda por debajo: { $chance }. Para ello, en vez de la compra de arriba: { $buys }

ahead-nights = Noche por noche, si sigue el consejo
ahead-bar = materia seca dada, por material (. es lo que falta)
ahead-wanted = pedido
ahead-moisture = humedad % (ventana)
ahead-moisture-out = { $moisture } FUERA ({ $window })
ahead-stock = existencias
ahead-spoils = se pierde
ahead-arrivals = Llegadas esperadas
ahead-expected = esperado en total
ahead-spread = dispersión (1 de)
ahead-method = Método: mediana del mismo día de la semana en las últimas 8 semanas, con una tendencia de Theil-Sen (Theil 1950; Sen 1968) donde una prueba de Mann-Kendall la halla; semanas y límites son elección nuestra.
ahead-no-backtest = No hay historia suficiente para una prueba hacia atrás: hacen falta seis semanas.
ahead-backtest = Prueba hacia atrás: { $weeks ->
    [one] { $weeks } semana
   *[other] { $weeks } semanas
} previstas desde los días anteriores a cada una: error medio { $error } por material de un proveedor y día, frente a { $naive } con «igual que la semana pasada»: { $pct } % { $than ->
    [better] mejor
   *[worse] peor
}.
ahead-rests-on = En qué se apoya
ahead-ages = un lote pasado de tiempo pide que alguien lo mire antes de darlo. Con ninguno se cuenta más allá de { $times } veces su tiempo, como en `mix` (carne, pescado, lácteos y huevo antes)
ahead-not-rounded = las noches posteriores no se redondean a la báscula; cada tarde `trayful mix` hace la hoja de la noche
ahead-nothing-recorded = No se registró nada. Sello del libro { $seal }.

# Sus gráficos.
ahead-chart-fed = Materia seca dada por material y lo que falta, { $unit }
ahead-chart-fed-told = Una barra por noche, apilada por material, hasta lo pedido; las cifras están en la tabla de abajo
ahead-missing-part = falta
ahead-chart-stock = Existencias y lo que se pierde, { $unit }
ahead-chart-stock-told = Una barra por noche: lo que sigue bueno después de dar de comer, y encima lo que se pierde hasta la noche siguiente
ahead-still-good = sigue bueno después de dar de comer
ahead-spoiled = perdido hasta la noche siguiente
ahead-chart-moisture = Humedad de { $group } en su ventana, %
ahead-chart-moisture-told = Un punto por noche y una línea por cada extremo de la ventana; la tabla de abajo dice cuáles quedan fuera
ahead-moisture-line = humedad
ahead-least = mínimo
ahead-most = máximo

# Lo que supone.
ahead-no-hatch = no hay eclosión prevista ni se puede leer de las cohortes: la demanda acaba con las larvas que hay (--plan, [[hatch]])
ahead-hatches = se supone que las eclosiones siguen como antes: cada { $days } días { $larvae } larvas como { $cohort } (elección nuestra; --plan, [[hatch]] dice otra cosa)
ahead-buys = se supone que lo que se compró antes puede comprarse otra vez ({ $streams }). Llega por kilogramo, al día siguiente del pedido (elección nuestra; --plan, [[buy]] dice otra cosa)
ahead-no-price = { $stream } no puede comprarse aquí: no tiene precio en la tabla de materiales
ahead-not-bought = { $stream } no se compra: { $why }
ahead-learned = humedad o densidad aprendida de las pruebas del propio proveedor (trayful learn): { $all }
ahead-learned-of = { $stream } de { $supplier }
ahead-too-old = { $stream }: { $weight } esperados son demasiado viejos al caer la tarde de su día y quedan fuera; quien los mire aún puede darlos
ahead-not-fed = { $stream }: { $weight } esperados que no pueden darse quedan fuera

# En qué se trabaja.
ahead-progress = { $what } ({ $seconds } s)
ahead-reading = leyendo el libro
ahead-planning = planeando las noches y comprobando el consejo
ahead-planning-more = planeando { $nights } noches
ahead-after = las noches después de las primeras { $nights }
ahead-larvae = cuántas larvas podrían alimentarse
ahead-more = cuánto más { $stream } cabría
ahead-chance = la probabilidad de que falte alimento
ahead-playing = jugando semanas: semana { $week } de { $weeks }
ahead-weeks-left = las últimas { $left } de { $weeks } semanas por jugar
ahead-reserve = una reserva para que no falte alimento
