"""Months and days of the week in many languages, a language at a time, so that a speaker can check one."""

from __future__ import annotations

from collections.abc import Mapping

MONTH_NAMES: Mapping[str, tuple[str, ...]] = {
    "English": (
        "january february march april may june july august september october november december",
    ),
    "German": (
        "januar februar märz april mai juni juli august september oktober november dezember",
        "jänner feber - - - - - - sept - - -",
    ),
    "Dutch": (
        "januari februari maart april mei juni juli augustus september oktober november december",
        "jan feb mrt apr mei jun jul aug sep okt nov dec",
    ),
    "Afrikaans": (
        "januarie februarie maart april mei junie julie augustus september oktober november desember",
    ),
    "Swedish": (
        "januari februari mars april maj juni juli augusti september oktober november december",
    ),
    "Norwegian": (
        "januar februar mars april mai juni juli august september oktober november desember",
    ),
    "Danish": (
        "januar februar marts april maj juni juli august september oktober november december",
    ),
    "Icelandic": (
        "janúar febrúar mars apríl maí júní júlí ágúst september október nóvember desember",
    ),
    "French": (
        "janvier février mars avril mai juin juillet août septembre octobre novembre décembre",
        "janv févr mars avr mai juin juil août sept oct nov déc",
    ),
    "Spanish": (
        "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
        "ene feb mar abr may jun jul ago sep oct nov dic",
    ),
    "Portuguese": (
        "janeiro fevereiro março abril maio junho julho agosto setembro outubro novembro dezembro",
        "jan fev mar abr mai jun jul ago set - nov dez",
    ),
    "Italian": (
        "gennaio febbraio marzo aprile maggio giugno luglio agosto settembre ottobre novembre dicembre",
        "gen feb mar apr mag giu lug ago set ott nov dic",
    ),
    "Romanian": (
        "ianuarie februarie martie aprilie mai iunie iulie august septembrie octombrie noiembrie decembrie",
        "- feb mar apr mai iun iul aug sep oct noi dec",
    ),
    "Catalan": (
        "gener febrer març abril maig juny juliol agost setembre octubre novembre desembre",
        "gen feb mar abr mai jun jul ago set oct nov des",
    ),
    "Polish": (
        "styczeń luty marzec kwiecień maj czerwiec lipiec sierpień wrzesień październik listopad grudzień",
        "stycznia lutego marca kwietnia maja czerwca lipca sierpnia września października listopada grudnia",
        "sty lut mar kwi maj cze lip sie wrz paź lis gru",
    ),
    "Czech": (
        "leden únor březen duben květen červen červenec srpen září říjen listopad prosinec",
        "ledna února března dubna května června července srpna září října listopadu prosince",
    ),
    "Slovak": (
        "január február marec apríl máj jún júl august september október november december",
        "januára februára marca apríla mája júna júla augusta septembra októbra novembra decembra",
    ),
    "Croatian": (
        "siječanj veljača ožujak travanj svibanj lipanj srpanj kolovoz rujan - studeni prosinac",
        "siječnja veljače ožujka travnja svibnja lipnja srpnja kolovoza rujna - studenoga prosinca",
    ),
    "Serbian": (
        "januar februar mart april maj jun jul avgust septembar oktobar novembar decembar",
        "јануар фебруар март април мај јун јул август септембар октобар новембар децембар",
    ),
    "Slovene": (
        "januar februar marec april maj junij julij avgust september oktober november december",
        "januarja februarja marca aprila maja junija julija avgusta septembra oktobra novembra decembra",
    ),
    "Bulgarian": (
        "януари февруари март април май юни юли август септември октомври ноември декември",
    ),
    "Russian": (
        "январь февраль март апрель май июнь июль август сентябрь октябрь ноябрь декабрь",
        "января февраля марта апреля мая июня июля августа сентября октября ноября декабря",
        "янв фев мар апр май июн июл авг сен окт ноя дек",
    ),
    "Ukrainian": (
        "січень лютий березень квітень травень червень липень серпень вересень жовтень листопад грудень",
        "січня лютого березня квітня травня червня липня серпня вересня жовтня листопада грудня",
    ),
    "Latvian": (
        "janvāris februāris marts aprīlis maijs jūnijs jūlijs augusts septembris oktobris "
        "novembris decembris",
        "janv febr marts apr maijs jūn jūl aug sept okt nov dec",
    ),
    "Lithuanian": (
        "sausis vasaris kovas balandis gegužė birželis liepa rugpjūtis rugsėjis spalis lapkritis gruodis",
        "sausio vasario kovo balandžio gegužės birželio liepos rugpjūčio rugsėjo spalio lapkričio gruodžio",
    ),
    "Finnish": (
        "tammikuu helmikuu maaliskuu huhtikuu toukokuu kesäkuu heinäkuu elokuu syyskuu lokakuu "
        "marraskuu joulukuu",
        "tammi helmi maalis huhti touko kesä heinä elo syys loka marras joulu",
        "tammikuuta helmikuuta maaliskuuta huhtikuuta toukokuuta kesäkuuta heinäkuuta elokuuta "
        "syyskuuta lokakuuta marraskuuta joulukuuta",
    ),
    "Estonian": (
        "jaanuar veebruar märts aprill mai juuni juuli august september oktoober november detsember",
        "jaan veebr märts apr mai juuni juuli aug sept okt nov dets",
    ),
    "Hungarian": (
        "január február március április május június július augusztus szeptember október november december",
        "jan febr márc ápr máj jún júl aug szept okt nov dec",
    ),
    "Turkish": (
        "ocak şubat mart nisan mayıs haziran temmuz ağustos eylül ekim kasım aralık",
        "- - - nis - haz - ağu eyl eki kas -",
    ),
    "Greek": (
        "ιανουάριος φεβρουάριος μάρτιος απρίλιος μάιος ιούνιος ιούλιος αύγουστος σεπτέμβριος "
        "οκτώβριος νοέμβριος δεκέμβριος",
        "ιαν φεβ μαρ απρ μαϊ ιουν ιουλ αυγ σεπ οκτ νοε δεκ",
        "ιανουαρίου φεβρουαρίου μαρτίου απριλίου μαΐου ιουνίου ιουλίου αυγούστου σεπτεμβρίου "
        "οκτωβρίου νοεμβρίου δεκεμβρίου",
    ),
    "Welsh": (
        "ionawr chwefror mawrth ebrill mai mehefin gorffennaf awst medi hydref tachwedd rhagfyr",
    ),
    "Basque": (
        "urtarrila otsaila martxoa apirila maiatza ekaina uztaila abuztua iraila urria azaroa abendua",
    ),
    "Swahili": (
        "januari februari machi aprili mei juni julai agosti septemba oktoba novemba desemba",
    ),
    "Indonesian": (
        "januari februari maret april mei juni juli agustus september oktober november desember",
    ),
    "Malay": (
        "januari februari mac april mei jun julai ogos september oktober november disember",
    ),
    "Filipino": (
        "enero pebrero marso abril mayo hunyo hulyo agosto setyembre oktubre nobyembre disyembre",
    ),
    "Arabic": (
        "يناير فبراير مارس أبريل مايو يونيو يوليو أغسطس سبتمبر أكتوبر نوفمبر ديسمبر",
    ),
    "Hebrew": (
        "ינואר פברואר מרץ אפריל מאי יוני יולי אוגוסט ספטמבר אוקטובר נובמבר דצמבר",
    ),
    "Persian": (
        "ژانویه فوریه مارس آوریل مه ژوئن ژوئیه اوت سپتامبر اکتبر نوامبر دسامبر",
    ),
}  # fmt: skip
"""Language -> rows of the twelve months, in full, as dates say them, and short; a dash where none is sure."""

DAY_NAMES: Mapping[str, tuple[str, ...]] = {
    "English": (
        "monday tuesday wednesday thursday friday saturday sunday",
    ),
    "German": (
        "montag dienstag mittwoch donnerstag freitag samstag sonntag",
        "- - - - - sonnabend -",
        "mo di mi do fr sa so",
    ),
    "Dutch": (
        "maandag dinsdag woensdag donderdag vrijdag zaterdag zondag",
        "ma di wo do vr za zo",
    ),
    "Afrikaans": (
        "maandag dinsdag woensdag donderdag vrydag saterdag sondag",
    ),
    "Swedish": (
        "måndag tisdag onsdag torsdag fredag lördag söndag",
        "mån tis ons tor fre lör sön",
    ),
    "Norwegian": (
        "mandag tirsdag onsdag torsdag fredag lørdag søndag",
        "man tir ons tor fre lør søn",
    ),
    "Icelandic": (
        "mánudagur þriðjudagur miðvikudagur fimmtudagur föstudagur laugardagur sunnudagur",
        "mán þri mið fim fös lau sun",
    ),
    "French": (
        "lundi mardi mercredi jeudi vendredi samedi dimanche",
        "lun mar mer jeu ven sam dim",
    ),
    "Spanish": (
        "lunes martes miércoles jueves viernes sábado domingo",
        "lun mar mié jue vie sáb dom",
    ),
    "Portuguese": (
        "segunda terça quarta quinta sexta sábado domingo",
        "seg ter qua qui sex sáb dom",
    ),
    "Italian": (
        "lunedì martedì mercoledì giovedì venerdì sabato domenica",
        "lun mar mer gio ven sab dom",
    ),
    "Romanian": (
        "luni marți miercuri joi vineri sâmbătă duminică",
        "lun mar mie joi vin sâm dum",
    ),
    "Catalan": (
        "dilluns dimarts dimecres dijous divendres dissabte diumenge",
        "dl dt dc dj dv ds dg",
    ),
    "Polish": (
        "poniedziałek wtorek środa czwartek piątek sobota niedziela",
        "pon wt śr czw pt sob nd",
        "pn wto śro czw pią sob niedz",
    ),
    "Czech": (
        "pondělí úterý středa čtvrtek pátek sobota neděle",
        "po út st čt pá - ne",
    ),
    "Slovak": (
        "pondelok utorok streda štvrtok piatok sobota nedeľa",
        "po ut st - pi - ne",
    ),
    "Croatian": (
        "ponedjeljak utorak srijeda četvrtak petak subota nedjelja",
        "pon uto sri čet pet sub ned",
    ),
    "Serbian": (
        "ponedeljak utorak sreda četvrtak petak subota nedelja",
        "понедељак уторак среда четвртак петак субота недеља",
    ),
    "Slovene": (
        "ponedeljek torek sreda četrtek petek sobota nedelja",
    ),
    "Russian": (
        "понедельник вторник среда четверг пятница суббота воскресенье",
        "пн вт ср чт пт сб вс",
    ),
    "Ukrainian": (
        "понеділок вівторок середа четвер п’ятниця субота неділя",
        "пн вт ср чт пт сб нд",
    ),
    "Latvian": (
        "pirmdiena otrdiena trešdiena ceturtdiena piektdiena sestdiena svētdiena",
        "pirmd otrd trešd ceturtd piektd sestd svētd",
    ),
    "Lithuanian": (
        "pirmadienis antradienis trečiadienis ketvirtadienis penktadienis šeštadienis sekmadienis",
    ),
    "Finnish": (
        "maanantai tiistai keskiviikko torstai perjantai lauantai sunnuntai",
        "ma ti ke - pe la su",
    ),
    "Estonian": (
        "esmaspäev teisipäev kolmapäev neljapäev reede laupäev pühapäev",
    ),
    "Hungarian": (
        "hétfő kedd szerda csütörtök péntek szombat vasárnap",
        "hét ked sze csü pén szo vas",
    ),
    "Turkish": (
        "pazartesi salı çarşamba perşembe cuma cumartesi pazar",
        "pzt - çar - - cmt paz",
    ),
    "Greek": (
        "δευτέρα τρίτη τετάρτη πέμπτη παρασκευή σάββατο κυριακή",
        "δευ τρι τετ πεμ παρ σαβ κυρ",
    ),
    "Welsh": (
        "- - mercher - gwener sadwrn -",
    ),
    "Basque": (
        "astelehena asteartea asteazkena osteguna ostirala larunbata igandea",
    ),
    "Swahili": (
        "jumatatu jumanne jumatano alhamisi ijumaa jumamosi jumapili",
    ),
    "Indonesian": (
        "senin selasa rabu kamis jumat sabtu minggu",
    ),
    "Malay": (
        "isnin selasa rabu khamis jumaat sabtu ahad",
    ),
    "Filipino": (
        "lunes martes miyerkules huwebes biyernes sabado linggo",
    ),
    "Arabic": (
        "الاثنين الثلاثاء الأربعاء الخميس الجمعة السبت الأحد",
    ),
    "Hebrew": (
        "שני שלישי רביעי חמישי שישי שבת ראשון",
    ),
    "Persian": (
        "دوشنبه - چهارشنبه پنجشنبه جمعه شنبه یکشنبه",
    ),
    "Japanese": (
        "月曜 火曜 水曜 木曜 金曜 土曜 日曜",
        "月曜日 火曜日 水曜日 木曜日 金曜日 土曜日 日曜日",
    ),
    "Chinese": (
        "周一 周二 周三 周四 周五 周六 周日",
        "星期一 星期二 星期三 星期四 星期五 星期六 星期日",
    ),
    "Korean": (
        "월요일 화요일 수요일 목요일 금요일 토요일 일요일",
    ),
}  # fmt: skip
"""Language -> rows of the seven days from Monday, in full and short; a dash where none is sure."""
