# Cuidados al cosechar; se remiten a las reglas locales.
caution-dust = cribar el frass levanta polvo (protegerse es práctica común, sin fuente de cuánto). El polvo de insectos causa alergia (NIOSH halló síntomas en una cuarta parte del personal de cría de insectos, MMWR 1984 33(31)). Use mascarilla y protección de ojos, mueva el aire, y vaya al médico al primer silbido o sarpullido.
caution-gases = los locales cerrados con larvas acumulan amoníaco y dióxido de carbono (límites de NIOSH: amoníaco 25 ppm; de OSHA: dióxido de carbono 5000 ppm, ambos por turno). Ventile antes de entrar y mientras trabaja.
caution-sharps = puede haber objetos cortantes en el residuo: use herramientas y guantes anticorte, nunca las manos desnudas.
caution-sold = las larvas y el frass que se venden pueden requerir tratamiento térmico, secado y registro (en la UE el frass se trata como estiércol, 70 °C durante 60 minutos, Reglamento (UE) 2021/1925). Pregunte a su autoridad local antes de la primera venta.
