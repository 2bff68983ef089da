# Altos, mirar, pensar, decir y la carta en un teléfono.
phone-stop-read = Leído a las { $time }
phone-stop-held = Mientras esté, no: { $what }.
phone-held-diagnosis = nombrar una causa
phone-held-advice = consejos más allá de estas palabras
phone-held-digging = cavar
phone-held-visit = ir o quedarse ahí
phone-held-contact = guardar lo que se sabe de la persona
phone-held-spray = nada sobre rociar
phone-held-sharing = compartirlo con nadie más que la oficina
phone-held-eating = decir que se puede comer
phone-held-blame = decir quién fue
phone-held-medical = decir qué hacer por el cuerpo
phone-read-first = Hay un alto que leer primero.
phone-after-findings = { $n ->
    [0] antes del primer hallazgo
    [one] después de 1 hallazgo
   *[other] después de { $n } hallazgos
}
phone-findings = { $n ->
    [0] Nadie ha mirado todavía
    [one] 1 hallazgo
   *[other] { $n } hallazgos
}
phone-harm-none = No daña nada.
phone-harm-cut = Daña un poco la planta: pida permiso.
phone-harm-dig = Daña algunas raíces: pida permiso.
phone-harm-lab = Lo decide la oficina.
phone-moved = { $cause }: { $sure }, antes { $was }.
phone-think-note = Más de una puede ser cierta, así que los números no suman 100.
phone-same-advice = El consejo es el mismo para las dos primeras.
phone-other-advice = Qué hacer depende de cuál de las dos primeras sea.
phone-next-look = Mirar una cosa más diría mucho: { $look }
phone-say-cause = «Por lo que vimos podría ser esto: { $cause }. Eso es { $sure }. La oficina también lo va a mirar.»
phone-say-unknown = «Todavía no sabemos qué es. Eso también es una respuesta. La oficina lo va a mirar.»
phone-say-official = «Esto tiene que ir a la oficina. Por favor deje la planta como está, y no mueva nada de ella.»
phone-advice-held = Un alto detiene los consejos. Lo que hay que decir son sus propias palabras.
phone-letter-sealed = De una consulta sellada no sale ninguna carta.
phone-letter-bare = Todavía no se ha mirado nada. La carta lo dice.
