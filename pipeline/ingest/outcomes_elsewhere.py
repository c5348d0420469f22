"""How a run went, in further languages; see ``outcome_words``."""

from __future__ import annotations

from collections.abc import Mapping

ELSEWHERE: Mapping[str, Mapping[str, str]] = {
    "Polish": {
        "missed shift": "nie wszed | nie wrzuci | nie trafi | nie wskoczy | zgubił bieg | "
            "zgubiony bieg | zły bieg | wypadł bieg | wyskoczył bieg | błąd zmiany | zmiana nieuda",
        "broke": "pękł | pęknię | urwa | awari | zepsu | rozsypa | uszkodz | ukręci",
        "lifted": "odpuści | odpuszcz | odjął | odjęt | ujął gaz | ująłem gaz | puścił gaz | "
            "zdjął nogę | zdjąłem nogę",
        "aborted": "przerwan | przerwał | niedokończ | zrezygn | wycof",
        "bogged": "zdławi | zadławi | zdusi | przydusi | zdech | zamuli | przymuli | zgasł | siadł | "
            "siadły obroty | spadły obroty",
        "spun": "buksowa | buks | zabuks | poślizg | uślizg | uslizg | ślizg | zerwał przycz | "
            "zerwała przycz | mielił | mieliły | bez przyczep | brak przyczep | palił gum",
        "red light": "czerwon | falstart | przedwczesn",
        "clean": "czyst | dobr | bez uwag | bez problem | w porządku | równo | ładny | ładnie",
    },
    "Czech and Slovak": {
        "missed shift": "nezařadil | nezaradil | špatně zařad | zle zarad | nešla rychlost | "
            "nešla dvojka | nešla trojka | nezapadl | vypadla rychlost | netrefil | chyba řazení | "
            "chyba radenia",
        "broke": "prasklo | praskl | porucha | rozbit | rupl | zlomen | zlomil | ulomil | urvan | "
            "utrhl | zadřel | pokazen",
        "lifted": "ubral | pustil plyn | zvolnil | pustil pedál",
        "aborted": "přeruš | preruš | prerus | nedokonč | nedojel | vzdal | zrušen",
        "bogged": "zadusil | udusil | utopil | chcípl | zhasl | zhasol | skapal | spadly otáčky | "
            "spadli otáčky",
        "spun": "prokluz | protočil | protáč | prekĺz | pretočil | prešmyk | hrab | zahrab | klouzal | "
            "šmýkal | bez trakce",
        "red light": "červen | předčasný start | predčasný štart | ulitý | ulitej",
        "clean": "čist | dobr | dobř | v pořádku | v poriadku | bez problém | hladk | pěkn",
    },
    "Croatian, Serbian and Slovene": {
        "missed shift": "promašio brz | promašena brz | promaši | nije ušla | nije ubacio | fulao | "
            "omašio | zgrešil prest | zgrešen | ni šla v | ispala brzina | izpadla",
        "broke": "puknu | pukao | pukla | puklo | slomi | pokvar | polomi | zlomil | kvar. | počil | "
            "okvara",
        "lifted": "pustio gas | digao nogu | digla nogu | skinuo nogu | oduzeo gas | spustio gas | "
            "spustil plin | popustil | dvignil nogo | odvzel plin",
        "aborted": "prekinut | prekinuo | prekinil | prekinjen | odustao | odustala | odustal | odstop",
        "bogged": "ugušio | zagušio | zadušil | ugasi | pali obrtaji | pali okretaji | crkao | crknuo",
        "spun": "prokliz | zdrsn | spodrs | drsel | šlajf | vrtio u prazno | vrteo u prazno | "
            "vrtel v prazno | zavrtel | u prazno",
        "red light": "crven | rdeč | prerani start | prezgodnji start | ukraden start",
        "clean": "čist | dobr | v redu | u redu | bez problema | bez težav | uredno",
    },
    "Russian and Ukrainian": {
        "missed shift": "не воткн | не включ | не попал | не увімкн | не ввімкн | промах | промазал | "
            "передачу | проскочил передач | пропустил передач | выбило передач | вибило передач | "
            "не та передача | нейтраль",
        "broke": "сломал | поломк | порвал | зламал | зламав | лопнул | оборвал | обірвал | розірвал | "
            "развалил | отказ двиг",
        "lifted": "сброс | відпустив | отпустил газ | отпустил педаль | бросил газ | скинув газ | "
            "скинул газ | приотпуст | убрал газ | прибрав газ | докат",
        "aborted": "прерв | перерв | прекрат | отмен | сошёл | сошел | зійшов | не доехал | не доїхав | "
            "скасован",
        "bogged": "захлеб | захлёб | захлин | заглох | провал | просел | просіл | затуп | подавил | "
            "упали обороты | впали оберт",
        "spun": "пробуксов | букс | шлифан | шлифов | шлифу | шліф | срыв | сорвал | зірвав | юз | "
            "нет зацепа | без зацепа | нет держака | скольз",
        "red light": "красн | фальстарт | фальш | червон | ранний старт",
        "clean": "норм | без замечаний | без зауважень | без проблем | чист | отличн | добре | ровно | "
            "хорош",
    },
    "Latvian and Lithuanian": {
        "missed shift": "nepārslēdz | neieslēdz | garām pārnesum | neįjung | nepataik | praleido pavar",
        "broke": "salūza | salūz | saplīs | pārtrūk | bojāj | sulūž | suged | nutrūk | lūžo | gedim",
        "lifted": "atlaida gāzi | atlaidu gāzi | nometa gāzi | atleido gaz | atleidau gaz | numetė gaz | "
            "numečiau gaz",
        "aborted": "pārtrauk | nutrauk",
        "bogged": "noslāpa | aizrijās | nosmaka | užgeso | paspring | užduso",
        "spun": "izslīd | slīdēja | buksē | izbuksē | prasisuko | buksavo | slydo | praslydo",
        "red light": "sarkan | pāragrs starts | viltus starts | raudon | klaidingas start | "
            "ankstyvas start",
        "clean": "tīrs | tīri | kārtībā | švar | tvarking | gerai",
    },
    "Finnish": {
        "missed shift": "vaihde jäi | vaihtovirhe | vaihde meni ohi | virhevaihto | vaihto meni | "
            "vaihde ei | huti vaih | hutivaih | vaihto huti | vaihde hukas | kakkonen ei | kolmonen ei | "
            "väärä vaihde",
        "broke": "poikki | rikki | hajos | hajoi | katkesi | räjäht | laukesi",
        "lifted": "nosti jala | nostin jala | nosti kaasu | nostin kaasu | kaasu pois | kaasun pois | "
            "hellitt | lasketteli | löysäs",
        "aborted": "keskey | jätin kesken | jäi kesken | jätti kesken | luovut",
        "bogged": "bogga | hyyty | kyykk | tukehtu | sakkasi | sammui | sammaht | nuukaht | "
            "kierrokset putos | kierrokset tipah | ristiin",
        "spun": "sutas | sutaa | suti | sudit | kuopi | kuopas | luisti | luisui | löi tyhjää | "
            "lyö tyhjää | pyöri tyhjää | ei pitoa | pito loppui | pito petti | slippas",
        "red light": "punai | punaval | varasläht | valeläht",
        "clean": "puhdas | puhtaasti | puhtaan | siisti | moitteet | virheet | kunnon veto | hyvä veto | "
            "hyvin",
    },
    "Estonian": {
        "missed shift": "käik vahele | käiku ei | käik ei | vale käik | vahele jä",
        "broke": "katki | purun | läks katki",
        "lifted": "gaas maha | gaasi maha | võttis gaasi | lasi gaasi | gaas lahti | tõstis jala",
        "aborted": "katkest | pooleli | loobus",
        "bogged": "sammu | suri välja | suri ära | lämbus | kustus | vajus | uppus",
        "spun": "kaapis | kraap | libise | libises | spinnis | käis ringi",
        "red light": "punane | valestart | varastart",
        "clean": "hea sõit | korras | siist | puhas | puhtalt | hästi",
    },
    "Hungarian": {
        "missed shift": "elváltott | félrekapcs | félrevált | váltás elmar | nem váltott | elkapcs | "
            "kihagyta a | nem ment be | elrontott váltás",
        "broke": "eltört | törés | törött | elszakad | leszakad | meghibás | tönkrement",
        "lifted": "elvettem a gáz | elvette a gáz | gázelvétel | levette a gáz | levettem a gáz | "
            "gázt elv",
        "aborted": "megszak | félbeszak | feladta | leállít | nem fejezte",
        "bogged": "fulladt | lefullad | befulladt | megfulladt | fulladoz | beesett | leesett a fordulat",
        "spun": "kipörög | kipörg | kipörd | megpörg | megpörd | elpörg | megcsúsz | csúszott | kapart | "
            "nem tapad | köszörül",
        "red light": "piros | korai rajt | rajthiba | kiugrás",
        "clean": "tiszta | rendben | hibátlan | jó futam | szép",
    },
    "Turkish": {
        "missed shift": "vites kaç | vitesi kaçır | vites geçme | vites atama | vites tutma | "
            "yanlış vites",
        "broke": "kırıl | bozul | arıza | koptu | patlad | kırdı",
        "lifted": "gazdan | gaz kes | gazı bırak | ayağı çek | ayağımı çek",
        "aborted": "iptal | yarıda | durdur | vazgeç",
        "bogged": "boğul | boğdu | devir düş | stop etti",
        "spun": "patinaj | tekerlek dön | spin att | çekiş yok | tutunama",
        "red light": "kırmızı | hatalı çıkış | çıkış hata | erken çıkış",
        "clean": "temiz | sorunsuz | düzgün",
    },
    "Greek": {
        "missed shift": "έχασα ταχ | έχασε ταχ | έχασα την | έχασε την | δεν μπήκε | δεν κούμπωσε | "
            "λάθος ταχ",
        "broke": "έσπασ | χάλασ | σπασμέν | βλάβη | ζημιά | έσκασ",
        "lifted": "άφησα το γκάζι | άφησα γκάζι | άφησε το γκάζι | άφησε γκάζι | σήκωσα το πόδι | "
            "σήκωσε το πόδι | σήκωσα πόδι | έκοψα γκάζι | έκοψε γκάζι",
        "aborted": "διακοπ | διέκοψ | ακύρωσ | ακυρώθ | σταμάτησ | εγκατ",
        "bogged": "βούλιαξ | έπνιξ | πνίγ | έσβησ | κόλλησ | κρέμασ",
        "spun": "σπινάρ | σπίναρ | σπινι | γλίστρ | πατίν | πατιν | χωρίς πρόσφυση | δεν πάτησε",
        "red light": "κόκκιν | άκυρη εκκίνηση | λάθος εκκίνηση",
        "clean": "καθαρ | μια χαρά | εντάξει | ομαλ | χωρίς πρόβλημα | τέλει",
    },
    "Welsh": {
        "missed shift": "methu gêr | methodd y gêr | gêr anghywir",
        "broke": "torrodd | wedi torri",
        "lifted": "codi'r droed | codi troed | codi fy nhroed",
        "aborted": "rhoi'r gorau | stopiodd",
        "bogged": "boddodd | boddi | mygu | tagu",
        "spun": "troell | sgidio | llithr",
        "red light": "golau coch | coch.",
        "clean": "iawn | glân | da iawn",
    },
    "Basque": {
        "missed shift": "martxa huts",
        "broke": "hautsi | matxura",
        "lifted": "oina altxa | gasa utzi",
        "aborted": "bertan behera | utzita",
        "bogged": "itota | ito da",
        "spun": "patin | irrist",
        "red light": "argi gorri | gorri",
        "clean": "garbi | ondo",
    },
    "Swahili": {
        "missed shift": "kosa gia | gia ilikosa | gia haikuingia",
        "broke": "ilivunjika | imevunjika | iliharibika",
        "lifted": "niliachia | aliachia",
        "aborted": "ilisitishwa | ilikatishwa",
        "bogged": "ilizima | ilififia",
        "spun": "iliteleza | teleza",
        "red light": "taa nyekundu | nyekundu",
        "clean": "safi | nzuri",
    },
    "Indonesian, Malay and Filipino": {
        "missed shift": "salah gigi | salah gear | gigi gagal | gagal masuk | salah oper | "
            "mali ang kambyo | sablay | hindi pumasok",
        "broke": "rusak | rosak | patah | pecah | putus | nasira | naputol",
        "lifted": "angkat gas | lepas gas | angkat kaki | tutup gas | lepas minyak | binitawan",
        "aborted": "dibatalkan | batal | berhenti | itinigil | tinigil",
        "bogged": "mbrebet | brebet | ngempos | ngedrop | mati mesin | semput | namatay | nalunod",
        "spun": "selip | gulung | ngesot | tayar pusing | ban spin | dumulas | umikot ang gulong",
        "red light": "lampu merah | merah | curi start | pulang ilaw",
        "clean": "bersih | lancar | mulus | kemas | malinis | bagus | baik | maayos | ayos",
    },
    "Japanese": {
        "missed shift": "シフトミス | ミスシフト | シフト失敗 | 速ミス | ギア抜け | ギヤ抜け | "
            "ギア入らず | ギヤ入らず | 入らず",
        "broke": "故障 | 破損 | 壊れ | 折れ | 折損 | 破断 | ブロー",
        "lifted": "アクセルオフ | アクセル戻 | アクセルを抜 | アクセル緩 | アクセル抜",
        "aborted": "中止 | 中断 | リタイア | 棄権",
        "bogged": "ボギ | 失速 | ストール | ボグ | もたつ | エンスト | 回転落 | 落ち込",
        "spun": "空転 | ホイールスピン | ホイルスピン | スピン | スリップ | 滑",
        "red light": "フライング | 赤 | レッド",
        "clean": "良好 | 正常 | クリーン | 良し | きれい | 問題なし | 異常なし | 順調",
    },
    "Chinese": {
        "missed shift": "挂错 | 挂挡 | 变速失误 | 换挡失误 | 漏挡 | 没挂上 | 掉挡 | 跳挡 | 换错",
        "broke": "断轴 | 断裂 | 折断 | 断了 | 损坏 | 坏了 | 爆缸",
        "lifted": "收油 | 松油 | 抬脚",
        "aborted": "放弃 | 终止 | 取消 | 退赛",
        "bogged": "乏力 | 熄火 | 憋车 | 掉转",
        "spun": "打滑 | 空转 | 烧胎 | 侧滑",
        "red light": "抢跑 | 红灯",
        "clean": "干净 | 顺利",
    },
    "Korean": {
        "missed shift": "변속 | 기어 빠 | 기어 안 | 기어미스",
        "broke": "고장 | 파손 | 부러",
        "lifted": "엑셀 | 액셀 | 악셀",
        "aborted": "중단 | 포기 | 취소",
        "bogged": "멈칫 | 주춤 | 시동 꺼 | 처짐",
        "spun": "헛바퀴 | 휠스핀 | 미끄 | 스핀",
        "red light": "부정출발 | 파울 | 빨간불 | 적색",
        "clean": "정상 | 양호 | 깨끗 | 무난",
    },
    "Arabic": {
        "missed shift": "فات الغيار | غيار غلط | ضيع الغيار | أضاع الغيار | خطأ تبديل",
        "broke": "انكسر | كسر | عطل | تعطل",
        "lifted": "رفع القدم | رفعت القدم | رفع الرجل | ترك البنزين",
        "aborted": "إلغاء | ألغي | توقف | إيقاف",
        "bogged": "اختنق | اختناق | كتم | انطفأ",
        "spun": "تفحيط | انزلق | انزلاق",
        "red light": "ضوء أحمر | أحمر | حمراء | انطلاقة خاطئة",
        "clean": "نظيف | ممتاز | جيد | سليم | تمام",
    },
    "Hebrew": {
        "missed shift": "פספס הילוך | פספוס הילוך | פספסתי הילוך | הילוך לא",
        "broke": "נשבר | שבר | תקלה",
        "lifted": "הוריד רגל | הורדתי רגל | הרים רגל | עזב גז | עזבתי גז",
        "aborted": "הופסק | ביטול | בוטל",
        "bogged": "נחנק | כבה | צנח",
        "spun": "החלק | ספין | סחרור",
        "red light": "אור אדום | אדום | זינוק מוקדם",
        "clean": "נקי | תקין | בסדר",
    },
    "Persian": {
        "missed shift": "دنده جا نرفت | دنده اشتباه | دنده رد",
        "broke": "شکست | خراب | برید",
        "lifted": "گاز رها | گاز را رها | پا برداشت",
        "aborted": "لغو | متوقف",
        "bogged": "خفه | خاموش",
        "spun": "بکسوات | هرزگرد | لیز خورد",
        "red light": "چراغ قرمز | قرمز",
        "clean": "تمیز | عادی | سالم",
    },
    "Thai": {
        "missed shift": "พลาดเกียร์ | เกียร์ไม่เข้า | เข้าเกียร์ผิด | เกียร์ผิด | เกียร์หลุด",
        "broke": "พัง | หัก | เสียหาย",
        "lifted": "ยกคันเร่ง | ผ่อนคันเร่ง | ถอนคันเร่ง | ยกเท้า",
        "aborted": "ยกเลิก | หยุดวิ่ง | วิ่งไม่จบ",
        "bogged": "รอบตก | รอบหล่น | อืด | เครื่องดับ",
        "spun": "ล้อฟรี | ฟรีล้อ | ลื่น",
        "red light": "ไฟแดง | ฟาวล์ | ออกก่อน",
        "clean": "ปกติ | เรียบร้อย | ราบรื่น",
    },
}  # fmt: skip
"""Language -> how a run went -> beginnings of what is written, between upright lines."""
