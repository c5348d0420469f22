"""How a run went, in Germanic and Romance languages; see ``outcome_words``."""

from __future__ import annotations

from collections.abc import Mapping

WEST: Mapping[str, Mapping[str, str]] = {
    "German": {
        "missed shift": "schaltfehler | verschalt | gang verpasst | gang verfehlt | gang nicht | "
            "gang ging nicht | gang raus | fehlschalt",
        "broke": "panne | defekt | kaputt | gebrochen | abgerissen | geplatzt | gerissen | "
            "motorschaden | getriebeschaden | kupplungsschaden",
        "lifted": "gelupft | lupfte | gas weg | vom gas | gas los | ausgerollt | rollen lassen | gas zu",
        "aborted": "abgebr | abbruch | abgebroch | aufgegeben | nicht zu ende | abgestellt",
        "bogged": "gebogg | eingeknickt | zu wenig drehzahl | abgewürgt | abgesoffen | eingebrochen | "
            "eingesackt | abgestorben | versoffen | verreckt | verschluckt | abgesackt | in die knie | "
            "drehzahl eingebrochen | kam nicht weg",
        "spun": "gespinnt | durchgedreht | durchdreh | gummi gedreht | räder drehten | räder gedreht | "
            "drehten durch | dreht durch | reifen durch | räder durch | kein grip | keine traktion | "
            "ohne grip | ohne traktion | gerutscht | schlupf | gescharrt",
        "red light": "rotlicht | frühstart | fruehstart | fehlstart | rote ampel",
        "clean": "sauber | sehr gut | gut | prima | einwandfrei | problemlos | ordentlich | tadellos | "
            "ohne probleme | alles gut | glatt | perfekt | super",
    },
    "French": {
        "missed shift": "erreur de vitesse | loupé | raté la | raté le | raté une | raté mon | "
            "vitesse ratée | vitesse manquée | vitesse loupée | passage raté | passage loupé | "
            "rapport raté | manqué la | manqué le | manqué une | manqué mon | faux point mort",
        "broke": "panne | cassé | casse | brisé | bris de | pété | rompu | explosé",
        "lifted": "lâché | levé le pied | levé avant | pied levé | lever de pied | coupé les gaz | "
            "coupé avant | relâché",
        "aborted": "abandonn | abandon | avorté | annul | interromp | arrêté avant | pas fini | "
            "non terminé | coupé le contact",
        "bogged": "bogué | étouff | calé | mou au départ | écroul | effondr | noyé | étrangl | "
            "tombé en régime | plongé",
        "spun": "patin | dérap | glissé | ça glisse | ripé | perdu l'adhérence | perte d'adhérence | "
            "pas d'adhérence | sans adhérence | pas de grip | sans grip | fumé les pneus | "
            "cramé les pneus",
        "red light": "lumière rouge | faux départ | faux-départ | feu rouge | rouge | départ anticipé | "
            "grillé le feu | brûlé le feu | parti trop tôt",
        "clean": "propre | très bien | belle passe | correct | impeccable | sans problème | sans souci | "
            "rien à signaler | parfait | nickel",
    },
    "Spanish": {
        "missed shift": "falló | fallé | fallo de cambio | cambio fallado | mal cambio | erró la | "
            "no entró | se me fue la | se botó la | se botó el | se saltó la | perdí la segunda | "
            "perdí la tercera | no metí la",
        "broke": "roto. | rota. | rompi | avería | averi | se quebró | reventó | tronó | falla mec",
        "lifted": "levant | solté | soltó | alivió | aflojé | aflojó | quité el pie | quitó el pie | "
            "saqué el pie | sacó el pie | pedal sol",
        "aborted": "interrump | cancelad | abandon | anulad | suspendid | no terminó | no terminé",
        "bogged": "bogue | ahog | se quedó | se cayó | se apagó | se ahogó | se murió | se caló | caló | "
            "se hundió | cayó de vueltas | bajó de vueltas | sin fuerza | se planchó | falto de vueltas",
        "spun": "patin | derrap | gripó | quemó llanta | quemó las llantas | quemó goma | resbal | "
            "sin agarre | sin tracción | sin grip | perdió tracción | perdió agarre | coleó",
        "red light": "luz roja | roja | rojo | salida en falso | salida nula | salida falsa | "
            "arranque en falso",
        "clean": "muy bien | todo bien | limpi | limpo | regular | sin novedad | sin problema | "
            "impecable | perfecto",
    },
    "Portuguese": {
        "missed shift": "errou marcha | errou a marcha | errou a 2 | errou a 3 | errou a 4 | "
            "errou a troca | errou troca | errei | perdeu a marcha | perdi a marcha | perdeu marcha | "
            "não entrou | nao entrou | falhou a marcha | falhei a | marcha errada | escapou a marcha | "
            "escapou marcha",
        "broke": "quebr | estrag | avaria | avari | rebentou | estourou | fundiu | pane.",
        "lifted": "tirou o pé | tirei o pé | tirou pé | aliviou | aliviei | levantou o pé | "
            "soltou o acelerador | tirou o acelerador",
        "aborted": "interromp | cancelad | abandon | desist | parou no meio | não terminou | "
            "nao terminou | anulad",
        "bogged": "bogou | boguei | afogou | afog | engasg | apagou | morreu | afundou | atolou | "
            "sem giro | caiu o giro | caiu de giro | perdeu giro | amarrou",
        "spun": "patin | derrap | destracion | spatin | queimou pneu | queimou os pneus | escorreg | "
            "sem aderência | sem aderencia | sem tração | sem tracao | sem grip | fritou | rodou em falso",
        "red light": "luz vermelha | vermelh | queimou | queimei | queimada | saída queimada | "
            "saiu antes | falsa partida | falsa largada",
        "clean": "muito bem | limpa | limpo | sem problema | certinh | tranquil | redond | boa passada",
    },
    "Italian": {
        "missed shift": "marcia mancata | mancata la | mancato il cambio | saltata la | "
            "saltato il cambio | cambiata mancata | cambiata sbagl | cambio mancato | cambio sbagl | "
            "marcia sbagl | marcia saltata | saltata marcia | sbagliat | non è entrata | sfollat | "
            "in folle | grattat",
        "broke": "guasto | rotto | rotta | rottur | rompi | spaccat | avaria | cedut | grippat",
        "lifted": "mollato | mollat | alzat | lasciato il gas | tolto gas | tolto il gas | "
            "chiuso il gas | chiuso gas | sollevat | via il gas",
        "aborted": "interromp | interrott | abbandon | annull | fermat | sospes | non finit",
        "bogged": "boggat | soffoc | piantat | affogat | seduto | seduta | ingolf | murat | "
            "calo di giri | ammosci | crollat | si è spent | sotto giri",
        "spun": "pattin | slitta | sgommat | scivol | fumato le gomme | senza grip | senza aderenza | "
            "perso aderenza | perso trazione | girato a vuoto | gira a vuoto",
        "red light": "luce rossa | rosso | rossa | falsa partenza | falso start | partenza falsa | "
            "partenza anticipata | semaforo rosso",
        "clean": "molto bene | tutto bene | pulit | regolar | senza problemi | perfett | liscia | "
            "liscio | lineare",
    },
    "Romanian": {
        "missed shift": "a ratat | ratat | schimbare ratat | n-a intrat | nu a intrat | scăpat treapta | "
            "treapta greșit",
        "broke": "rupt | stricat | spart | cedat | s-a defect | avarie | crăpat",
        "lifted": "ridicat piciorul | ridicat de pe gaz | lăsat gazul | lasat gazul | luat piciorul | "
            "luat gazul",
        "aborted": "oprit | întrerupt | intrerupt | renunț | renunt | abandon | anulat",
        "bogged": "înecat | inecat | sufocat | căzut turaț | cazut turat | s-a stins | a murit",
        "spun": "patin | derap | alunec | fără aderență | fara aderenta | fără tracțiune",
        "red light": "roșu | rosu | fals start | start fals | start furat | furat startul | start greșit",
        "clean": "curat | fără probleme | fara probleme | impecabil | în regulă | foarte bine",
    },
    "Catalan": {
        "missed shift": "canvi fallat | fallat el canvi | no ha entrat | perdut la segona | "
            "perdut la tercera",
        "broke": "trencat | trencad | avaria | espatllat",
        "lifted": "aixecat el peu | afluixat | deixat anar el gas",
        "aborted": "avortat | cancel·lat | abandonat | interromput",
        "bogged": "ofegat | calat | s'ha quedat | s'ha ofegat",
        "spun": "patin | derrap | rellisc | sense adherència | sense tracció",
        "red light": "llum vermell | vermell | sortida nul | sortida falsa",
        "clean": "net i | neta | molt bé | sense problem",
    },
    "Dutch": {
        "missed shift": "schakelfout | verschakeld | misgeschakeld | mis geschakeld | gemist | "
            "versnelling gemist | miste de | miste 2 | miste 3 | niet in versnelling",
        "broke": "kapot | gebroken | ging stuk | is stuk | stuk gegaan | geknapt | knapte | "
            "motorschade | pech.",
        "lifted": "losgelaten | lift de gas | gas los | gas eraf | van het gas | voet eraf | gelift | "
            "uitgerold | uitrollen",
        "aborted": "afgebroken | afgebr | gestopt | opgegeven | niet afgemaakt | gestaakt",
        "bogged": "gebogd | verzop | gekelderd | ingezakt | zakte in | afgeslagen | sloeg af | "
            "viel stil | kwam niet weg | gesmoord | smoorde",
        "spun": "doorgesl | doorgesp | doorspin | doorslip | spinn | gespind | wielspin | wielen spin | "
            "wielslip | slip, | slipte | slippen | geen grip | geen tractie | zonder grip | banden rook",
        "red light": "rood | vroegstart | valse start",
        "clean": "goed | proper | schoon | prima | netjes | keurig | strak | vlekkeloos | "
            "zonder problemen | perfect | regelmatig",
    },
    "Afrikaans": {
        "missed shift": "rat gemis | misgeskakel | rat oorgeslaan | verkeerde rat",
        "broke": "stukkend | gebreek | breuk",
        "lifted": "van die gas | lugstoot | voet gelig | gas gelos | los die gas",
        "aborted": "gestaak | gestop | afgelas | opgegee",
        "bogged": "gebog | versuip | gestik | val plat | sak in | dood gegaan",
        "spun": "gespin | wielspin | gegly | geen vastrap | bande gebrand",
        "red light": "rooi lig | rooi. | vals wegspring",
        "clean": "netjes | skoon | mooi lopie | lekker",
    },
    "Swedish": {
        "missed shift": "missad väx | felväx | missade ettan | missade tvåan | missade trean | "
            "missade fyran | missade femman | missade väx | missad tvåa | missad trea | växlingsmiss | "
            "fick inte i | hoppade ur",
        "broke": "haveri | motorhaveri | skar. | sönder | trasig | brast | gick av | motorras | knäckt",
        "lifted": "släppte | släppt gasen | lyfte | lyft | lättade | av gasen | rullade ut | "
            "slog av gasen",
        "aborted": "abortad | avbröt | avbrut | stängde av | bröt loppet | bröt körningen",
        "bogged": "bogg | tvärdog | dök i varv | kvävdes | kvävd | storkn | dog i starten | "
            "tappade varv | föll i varv | sjönk i varv | seg start | nerdykning",
        "spun": "spann. | spunn | spinn | slira | hjulspin | däckspin | tappade greppet | "
            "tappade fästet | inget fäste | inget grepp | dåligt fäste | rökte däck",
        "red light": "rött ljus | rödljus | rödlyse | tjuvstart | för tidig start",
        "clean": "helt ok | felfri | ren körning | bra körning | fin körning | utan problem | prickfri | "
            "problemfri | perfekt",
    },
    "Norwegian and Danish": {
        "missed shift": "misset gir | bommet gir | bommet på | bom på gir | girbom | feilgir | "
            "feilskift | mistet gir | misset gear | missede gear | mistede gear | fejlskift | fejlgear | "
            "gearfejl | fikk ikke inn | fik ikke i gear",
        "broke": "havari | motorhavari | røk | brakk | knakk | knekt | sprakk | brast | ødelagt | "
            "i stykker | knækk | skar seg | brød sammen",
        "lifted": "slapp gas | slapp opp | lettet | slap gassen | slap op | lettede | av gassen | "
            "af gassen | løftet | løftede",
        "aborted": "avbrøt | avbrutt | avbrudt | afbrudt | afbrød | stoppet | stoppede | ga opp | gav op",
        "bogged": "bogg | druknet | druknede | kvælte | kvalt | kveles | døde i start | sank i turtall | "
            "falt i turtall | faldt i omdr | gikk i kne | gik i knæ",
        "spun": "spant | spandt | spinn | spinte | hjulspin | slira | sluret | slurede | skled | "
            "mistet grepet | mistede grebet | ikke feste | ingen feste | dårlig feste | intet greb | "
            "dårligt greb | slippte",
        "red light": "rødt | rødlys | tyvstart",
        "clean": "uten problemer | uden problemer | feilfri | fejlfri | fint løp | rent løp | rent løb | "
            "fint løb | godt løb | plettfri | perfekt",
    },
    "Icelandic": {
        "missed shift": "missti gír | missti úr gír | gear missed | skipting mist | mistókst | rangur gír",
        "broke": "brotn | bilað | rottur | brast | ónýt",
        "lifted": "sleppti | sló af | lyfti",
        "aborted": "hætti | hætt við",
        "bogged": "kafn | drukkn | koðn | datt niður",
        "spun": "spól | missti grip",
        "red light": "rautt | þjófstart",
        "clean": "hrein | gekk vel | í lagi",
    },
}  # fmt: skip
"""Language -> how a run went -> beginnings of what is written, between upright lines."""
