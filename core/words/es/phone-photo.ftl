# Fotos y muestras en un teléfono.
phone-shots-site = Fotos del lugar
phone-shot-whole = Hágase atrás hasta que quepan la planta entera y el suelo alrededor.
phone-shot-boundary = Donde lo enfermo toca lo sano, las dos partes en la foto, a un brazo de distancia.
phone-shot-close-up = Una mancha, tan cerca como salga nítida, con la regla al lado.
phone-shot-underside = Voltee la hoja. La misma hoja, por abajo.
phone-shot-trunk-base = El tallo o tronco hasta la tierra. Quite el mantillo y vuelva a ponerlo.
phone-shot-other-side = La misma planta del otro lado.
phone-shot-healthy = Una sana de la misma clase cerca, si la hay.
phone-shot-site = Lo que hay alrededor: calle, muro, césped, hondonada.
phone-shot-open = Sin tomar
phone-shot-skipped = Saltada
phone-shot-taken = { $n ->
    [one] Tomada
   *[other] Tomada, { $n } fotos
}
phone-photo-elsewhere = Aquí solo está la foto chica; la oficina tiene la original.
phone-photo-no-date = El archivo no trae fecha.
phone-photo-not-agreed = El residente no aceptó que se guarden fotos. Pregunte otra vez antes de tomar una.
phone-photo-no-person = No debe salir nadie menor de 18, ni su lugar.
phone-sample-sealed = Se sospecha una plaga regulada: no se mueve nada de la planta. Márquela, déjela, espere a la oficina.
phone-pack-1 = Manda la hoja de empaque del propio laboratorio. Esto vale cuando no hay.
phone-pack-2 = Tome el borde entre lo enfermo y lo sano, de más de un lugar. Lo muerto dice poco.
phone-pack-3 = Hojas y ramitas planas entre toallas de papel secas, en una bolsa que cierre. Sin agua.
phone-pack-4 = Raíces con su tierra en una bolsa aparte, atada al tallo.
phone-pack-5 = Guárdela fresca y fuera del sol. Sin congelar.
phone-pack-6 = Envíela a principios de semana, para que no pase ahí el fin de semana.
phone-label-inquiry = Consulta
phone-label-sample = Muestra
phone-label-plant = Planta
phone-label-part = Parte
phone-label-pieces = Piezas
phone-label-taken = Tomada
phone-label-by = Tomada por
phone-label-seal = Sello
