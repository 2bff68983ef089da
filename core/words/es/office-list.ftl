# The list of inquiries: filters, saved views, downloads.
list-found = { $n } de { $all } { $all ->
    [one] consulta
   *[other] consultas
}; { $open } de { $n } sin cerrar.
list-sealed-head = Bajo sello
list-sealed = { $n ->
    [one] Existe un registro sellado. Solo puede verlo el educador, y no está en ninguna lista ni conteo de aquí.
   *[other] Existen { $n } registros sellados. Solo puede verlos el educador, y no están en ninguna lista ni conteo de aquí.
}
list-none-yet = Todavía no ha llegado ninguna consulta. Qué hacer: reciba un paquete de un teléfono y vuelva a abrir esta página.
list-none = Ninguna de { $all } { $all ->
    [one] consulta
   *[other] consultas
} es así. Qué hacer: quite un filtro o escriba menos palabras.
list-span = Filas { $from } a { $to } de { $n }
list-bad-filter = Uno de sus filtros no tiene la forma debida.

list-choose = Elegir consultas
list-words = Palabras: planta, lugar, explorador, lo que se dijo
list-words-names = Palabras: nombres de plantas y causas
list-words-short = Palabras
list-since = Abierta ese día o después
list-until = Abierta ese día o antes
list-day-wrong = “{ $day }” no es un día, así que no elige nada. Qué hacer: escríbalo como 2026-07-01.
list-status = En qué va
list-status-open = abierta
list-status-waiting = en espera
list-status-answered = respondida
list-status-closed = cerrada
list-host = Planta
list-cause = Causa nombrada
list-answer = Qué tan confirmada
list-answer-presumptive = presunta
list-answer-reviewed = revisada
list-answer-laboratory = laboratorio
list-answer-authority = autoridad
list-township = Municipio
list-scout = Tomada por
list-stop = Hubo un alto
list-conflict = Dos teléfonos no coinciden
list-yes = sí
list-all = todas
list-choose-these = Elegir estas
list-show-all = Ver todas

list-chosen = Elegidas
list-chosen-is = Elegido:
list-every = Todas
list-newest-first = las más nuevas primero
list-pages = Páginas
list-newer = Más nuevas
list-older = Más antiguas
list-no-plant = Aún sin planta
list-nobody = Nadie anotó quién
list-disagree = Dos teléfonos no coinciden
list-disagree-on = en { $n } { $n ->
    [one] valor
   *[other] valores
}; todos se conservan.

list-views = Vistas guardadas
list-views-keep = Cambiar nombre o borrar
list-views-none = Aún no ha guardado ninguna vista. Qué hacer: elija consultas y dé aquí un nombre a la elección.
list-views-yours = Elecciones de consultas con nombres que usted les dio. Nadie más las ve.
list-view-name = Nombre de esta vista
list-view-about = Una vista guarda las palabras que se buscan: no ponga en ella el nombre de un residente.
list-view-save = Guardar esta vista
list-view-new-name = Nombre
list-view-rename = Cambiar nombre
list-view-delete = Borrar
list-view-delete-which = Borrar “{ $name }”
list-view-deleted = Se borró “{ $name }”
list-view-keep = Conservarla después de todo
list-view-not-saved = Aún no se guardó
list-view-taken = Usted ya tiene una vista con este nombre. Dele otro.
list-view-gone = Usted ya no tiene esa vista.
list-view-many = Usted tiene { $n } vistas y no caben más. Borre una primero.

list-download = Descargar
list-download-count = { $n } { $n ->
    [one] consulta elegida
   *[other] consultas elegidas
}
list-download-about = Exactamente lo elegido, de todas las páginas de la lista. Las consultas selladas no están en ningún archivo, ni lo que un residente no aceptó. Cada archivo dice cómo se eligió y de cuántas.
list-download-form = Formato
list-form-xlsx = Hoja de cálculo, todas las tablas (XLSX)
list-form-csv = Todas las tablas (CSV en un ZIP)
list-form-csv-inquiries = Consultas (CSV)
list-form-csv-plants = Plantas (CSV)
list-form-csv-visits = Visitas (CSV)
list-form-csv-findings = Hallazgos (CSV)
list-form-csv-diagnoses = Causas de los diagnósticos (CSV)
list-form-csv-photos = Fotos, sin las imágenes (CSV)
list-form-geojson = Conteos por zona para un mapa (GeoJSON)
list-form-darwin-core = Visitas y causas vivas (Darwin Core Archive)
list-form-dump = Todo, solo para la oficina (JSON)
list-form-state-report = Informe al estado, por mes (CSV)
list-form-state-report-json = Informe al estado, por mes (JSON)
list-download-for = Quién lo lee
list-download-public = Cualquiera: lugares aproximados, días y conteos, de quienes aceptaron
list-download-office = La oficina: también sus palabras y números; nunca una dirección, un punto ni un contacto
list-download-do = Descargar esto
