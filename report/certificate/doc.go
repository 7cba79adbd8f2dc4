// Package certificate turns an assessment into the pages of a certificate.
//
// It works in two steps: Write makes a plain Document (sections, tables,
// sentences), which is where content is decided and tested; Render lays it out
// and draws it. Neither reads a clock or a file.
//
// # What a record of commissioning is asked for
//
// Below stands each thing that forms of record ask for, in words of ours: its number, N where an intruder alarm needs it
// and O where it may apply, who asks for it, and where it stands on a certificate. A place is a section by the code of
// its heading, a colon, and codes of what it says there: phrases of commission/words, lines of checklists, and, behind
// row/, computed rows of judge. It stands in the hand-over and in the maintenance of the demonstration; behind handover
// or maintenance, in that one alone. "page" is what stands outside of sections. A place may also be none, with the
// reason. Page one repeats what weighs most, and is "page". TestContents in cmd/loopwitness finds all of it on pages that
// the program made.
//
// Who asks, seen in a form or in a text that lists its contents, or with ° from memory: C and R NFPA 72, completion,
// and inspection and testing; E IEC 60364-6; B BS 7671; T CLC/TS 50131-7, PD 6662 and BS 9263; S AS/NZS 2201.1;
// U CAN/ULC-S536; P NFPA 731; I guidance of insurance brokers; – nobody but us.
//
// What nobody typed into the site file is not printed: the fuse, the mains circuit, the kind of a cable, who designed
// the system, whom to inform, the user's controls, and other systems.
//
//	 1 N C E° B U | premises, their use, the part covered | premises: label/premises, label/use
//	 2 N C B U | customer, and how to reach them | premises: label/customer
//	 3 N C E B T° | installer: company, address, licence | premises: label/installer, detail/licence
//	 4 N C R E B U | technician: name, licence, signature, day |
//	      visit: label/technician; names: detail/licence, instant, note/technician; page: front/label/tested-by
//	 5 N C R° U T° | customer's representative: name, position, signature, day |
//	      names: note/customer, instant, certificate/accepts
//	 6 O I | insurer, policy | premises: label/insurer
//	 7 O C T° | receiving centre, account, paths | premises: label/monitoring, detail/account; alarm: step/receipt
//	 8 O C U | authority that is to be informed | premises: label/authority
//	 9 N B C | number, revision, the one it replaces | visit: label/document, certificate/in-place-of
//	10 N B R° | kind of visit | visit: label/visit-kind
//	11 N R B | begun, ended, breaks | visit: label/begun, certificate/span
//	12 N B | extent, and limitations that were agreed |
//	      visit: label/extent; checklist: extent; outstanding: note/marks, certificate/matter; names:
//	      certificate/accepts
//	13 N B | number of each page, and of the document on it | page: certificate/page
//	14 O T E° | standard, grade and class as declared | premises: label/declared, note/declared
//	15 N C U | controller: what, where, software, connection, the site's own data |
//	      system: label/controller, label/site-file, certificate/file-hash
//	16 O C° T° | the user's controls | system: label/controls
//	17 N C B S | zones: number, name, kind, wiring, resistors, area | schedule: certificate/zone-head
//	18 N C R T | detectors: each, where, how many of a kind |
//	      schedule: column/detector; system: label/fitted, certificate/fitted
//	19 N C T° | outputs: each, where, level, cut-off |
//	      outputs: output/sounder, output/strobe, output/chime, certificate/declared-as, certificate/cut-off
//	20 N C° E P | adapter, fuse, where, its circuit | system: label/adapter, detail/fuse, detail/circuit
//	21 N C° R° P S° | battery: chemistry, capacity, date, where | system: label/battery, detail/fitted
//	22 N B | cables: kind, size, length, reused |
//	      system: label/cables, certificate/cables-reused; schedule: certificate/zone-cable; computed:
//	      row/drop; handover cables: cable-look
//	23 O T | exit and entry times, confirmation | alarm: step/setting, step/entry, certificate/alarm-limit
//	24 N C T B | papers that were left, and where |
//	      handover checklist: documents, log-book-place; maintenance checklist: log-book; check:
//	      certificate/attached
//	25 N B R T | what changed since the last visit |
//	      maintenance changes: certificate/nothing-changed; maintenance checklist: changes, parts
//	26 N R C | who was told, on test from and to |
//	      checklist: people-told, on-test, on-test-from, off-test; page: front/on-test
//	27 N T B R° | fixing, damage, corrosion, tamper, labels |
//	      handover checklist: fixing, insulation, cables-labelled, sounder-fixing, sounder-tamper; maintenance
//	      checklist: fixing-still, insulation-still, labels-still, sounder-tamper
//	28 N B E° | polarity, continuity, loops, insulation, earth |
//	      handover checklist: polarity; handover cables: column/cable-loop, column/insulation; handover
//	      computed: row/continuity, row/insulation; maintenance checklist: polarity-again; computed:
//	      column/normal, note/loops
//	29 N B | instruments: kind, number, calibration |
//	      visit: label/voltmeter, detail/calibrated; handover cables: cable-tester; checklist: instruments
//	30 N T R U° | every detector operated, or why not |
//	      schedule: column/verdict, certificate/operations; handover outstanding: not-tested
//	31 N – | response and restoral against a limit |
//	      schedule: column/response, column/restored, column/uncertainty; limits: certificate/limit-cell,
//	      certificate/limits-by
//	32 N R | attempts, and what failed at first |
//	      schedule: column/trials, certificate/operations; handover schedule: certificate/last-trial
//	33 N C R T | right zone and name at controller and centre |
//	      schedule: note/own-zone; handover checklist: zone-names; checklist: off-test; alarm:
//	      alarm-event/received, witness/centre
//	34 O T° | coverage walked, masking, view | looks: edges, masking, view
//	35 O T R° | tamper and fault signals | looks: tamper; checklist: sounder-tamper; supply: aspect/mains-fault
//	36 O T | hold-up device, announced before | looks: announced, guarded
//	37 N T° R° | voltage and current with mains | supply: step/reading, note/supply-rule; computed: row/system
//	38 N R T° | voltages without mains, and under load |
//	      supply: certificate/voltage-off, column/taken; computed: row/internal, row/sag
//	39 O T R° | mains and battery faults told and cleared |
//	      supply: aspect/mains-fault, aspect/battery-fault, column/cleared
//	40 N C P° | load, standby required and expected, charger |
//	      computed: row/standby, row/adapter, row/charger, row/recharge; system: label/standby
//	41 N – | reports without mains, by the path, too | supply: note/on-standby, note/path-off-mains
//	42 N C | voltage at the farthest detector | computed: row/drop, row/far
//	43 N R | recharged, restored | computed: row/charging; checklist: normal
//	44 N T R | sounder operated, heard, its level | outputs: certificate/output-trial; computed: row/level, row/margin
//	45 O T° R° | strobe seen, cut-off | outputs: output/strobe, certificate/cut-off; computed: row/cut-off
//	46 N – | chime: by which zone, heard, delay | outputs: certificate/chime-trial
//	47 O T C | signalling to the centre by each path | alarm: step/receipt, alarm-event/received
//	48 N B U | the result in words | page: certificate/result/satisfactory with limitations
//	49 N B U R T | defects: what, where, how grave, what to do, by when |
//	      outstanding: note/marks, subject, certificate/matter, certificate/to-do, grade/advice;
//	      page: front/taken-on
//	50 N B R° | what was not tested, and why | handover outstanding: not-tested; visit: label/extent
//	51 O B | recommendations | outstanding: grade/advice, certificate/to-do
//	52 N B° | comparison with the last visit |
//	      maintenance since: since/then-now, since/rule, since/change; maintenance settled:
//	      certificate/came-of-it
//	53 O T° | false alarms since | maintenance checklist: false-alarms-since
//	54 O T | log of the controller | maintenance checklist: log
//	55 O R T° | parts and batteries renewed | maintenance checklist: parts, battery-replaced
//	56 N B E° | next visit due | visit: label/next-visit, certificate/next; checklist: next-visit; page: front/due
//	57 N T I | user trained, codes changed | handover checklist: user-shown, codes; maintenance checklist: user-asked
//	58 N C T U | manual, log book and record left |
//	      handover checklist: documents, log-book-place, records; maintenance checklist: log-book
//	59 N R C | off test, normal, from when | checklist: off-test, normal
//	60 N B | limitations accepted by name | names: certificate/accepts, note/customer
//	61 N – | cautions that apply | cautions: caution/mains, caution/lead-acid, caution/sounder, caution/ladders
//	62 N C° | local codes and licensed practice decide | cautions: caution/deferral; page: front/note/caution
//	63 N B | what is not claimed | cautions: caution/deferral; check: note/truth; premises: note/declared
//	64 N – | how times were taken, uncertainty | response: certificate/how-timed; numbers: note/guard
//	65 N – | program and version | visit: label/made-with, detail/recorded
//	66 N – | fingerprint, signature, how to verify | check: label/journal, label/signed-by, label/key, note/follow;
//	      page: front/key
//	67 O – | photographs | photographs: heading/photographs
//	68 N – | complete record attached | check: label/attached, certificate/attached
//	69 O T E | designer, paper of the design | premises: label/design
//	70 O B T | departures from standard or plan | premises: label/departures
//	71 O B | what a test could harm was disconnected | handover cables: heading/cables; cautions: caution/cables
//	72 N R | expected beside actual |
//	      limits: certificate/limit-cell, certificate/steady-rule; supply: column/limit; outputs:
//	      certificate/declared-as; alarm: certificate/alarm-limit; computed: column/limit
//	73 N R | inspected, tested or serviced |
//	      visit: note/work; looks: note/looks; checklist: note/checklist; maintenance checklist: parts
//	74 N B C° | who tested, witnessed, authorised | checklist: persons; names: note/technician, note/customer
//	75 N B U | skill and care, said by who tested | names: note/technician
//	76 N T | faults: customer told when, what was agreed |
//	      names: note/customer, instant; checklist: temporary; maintenance checklist: faults-told
//	77 N T U° | disabled at departure, by whose wish | checklist: temporary, normal
//	78 O T | clock of the controller | maintenance checklist: clock-error
//	79 N T | set and unset, exit and entry walked |
//	      alarm: step/setting, step/entry, alarm-event/entering, alarm-event/unset
//	80 O I | keyholders, who responds | handover checklist: keyholders
//	81 O I T | maintenance agreement | handover checklist: agreement
//	82 N R C B | where the record is kept | handover checklist: records; maintenance visit: label/kept
//	83 N B | records of earlier visits, who has them |
//	      maintenance checklist: earlier-records; maintenance earlier: certificate/earlier-visit
//	84 O E B | mains circuit: voltage, breaker, earthing | system: detail/circuit
//	85 O C | which zone causes which output |
//	      outputs: certificate/chime-trial; alarm: alarm-event/intruded, alarm-event/output-on
//	86 O C P | other systems it is joined to | system: label/interfaces
package certificate
