/** An invented farm as TASKDATA.XML of version 4: every element that the library knows, and some that it does not. */
export const DOCUMENT = `<?xml version="1.0" encoding="UTF-8"?>
<!-- written by hand -->
<ISO11783_TaskData xmlns:o="urn:example:office" VersionMajor="4" VersionMinor="2" ManagementSoftwareManufacturer="Nobody" ManagementSoftwareVersion="1.0" DataTransferOrigin="1" o:stamp="7">
  <CTR A="CTR1" B="Reed" C="Ann"/>
  <FRM A="FRM1" B="Pond Farm" I="CTR1"/>
  <WKR A="WKR1" B="Moss"/>
  <PDT A="PDT1" B="Lime &amp; chalk" C="PGP1"/>
  <PGP A="PGP1" B="Soil"/>
  <CTP A="CTP1" B="Rye"><CVT A="CVT1" B="Early"/></CTP>
  <PFD A="PFD1" B="07" C="Pond Piece" D="120000" E="CTR1" F="FRM1" G="CTP1" H="CVT1" P094_note="wet corner">
    <PLN A="1" C="120000" E="PLN1">
      <LSG A="1">
        <PNT A="2" C="47.25" D="20.75"/>
        <PNT A="2" C="47.25" D="20.755" E="88123"/>
        <PNT A="2" C="47.253" D="20.755"/>
        <PNT A="2" C="47.253" D="20.75"/>
        <PNT A="2" C="47.25" D="20.75"/>
      </LSG>
      <LSG A="2" B="pond">
        <PNT A="2" C="47.251" D="20.751"/>
        <PNT A="2" C="47.252" D="20.751"/>
        <PNT A="2" C="47.251" D="20.752"/>
        <PNT A="2" C="47.251" D="20.751"/>
      </LSG>
    </PLN>
    <PLN A="10" B="headland"><LSG A="1">
      <PNT A="2" C="47.25" D="20.75"/><PNT A="2" C="47.25" D="20.755"/><PNT A="2" C="47.2503" D="20.755"/><PNT A="2" C="47.25" D="20.75"/>
    </LSG></PLN>
    <LSG A="7" B="fence" C="120" D="385000" E="4" F="LSG1"><PNT A="2" C="47.25" D="20.75"/><PNT A="2" C="47.25" D="20.755"/></LSG>
    <PNT A="3" B="gate" C="47.25" D="20.7525" F="12" G="PNT1" H="0.02" I="0.03"/>
    <GGP A="GGP1" B="spring">
      <GPN A="GPN1" B="ditch side" C="1" E="3" F="2" G="1.5" I="4" J="0.02" K="0.04" M="EPSG:23700" N="0" O="40">
        <LSG A="5" C="24000"><PNT A="6" C="47.25" D="20.75"/><PNT A="7" C="47.253" D="20.7501"/></LSG>
        <PLN A="9"><LSG A="1"><PNT A="2" C="47.25" D="20.75"/><PNT A="2" C="47.25" D="20.755"/><PNT A="2" C="47.253" D="20.755"/><PNT A="2" C="47.25" D="20.75"/></LSG></PLN>
      </GPN>
      <GPN A="GPN2" C="4" D="2" H="150000"><LSG A="5" C="24000"><PNT A="8" C="47.2515" D="20.7525"/></LSG></GPN>
    </GGP>
  </PFD>
  <DVC A="DVC1" B="sprayer" C="1.2" D="A000000000000001" E="42" F="31000000000001" G="FF000000000000">
    <DET A="DET1" B="1" C="1" D="sprayer" E="0" F="0"><DOR A="10"/><DOR A="20"/></DET>
    <DET A="DET2" B="2" C="4" E="1" F="1"><DOR A="11"/></DET>
    <DPD A="10" B="008D" C="1" D="8" E="work state"/>
    <DPT A="11" B="0043" C="24000" D="width" E="30"/>
    <DPT A="20" B="0087" C="-1500"/>
    <DVP A="30" B="0" C="0.001" D="2" E="m"/>
  </DVC>
  <TSK A="TSK-1" B="second dressing" C="CTR1" D="FRM1" E="PFD1" F="WKR1" G="4" H="1" J="1">
    <TZN A="1" B="all" C="3"><PDV A="0006" B="200" C="PDT1"/></TZN>
    <TIM A="2024-05-01T10:00:00" B="2024-05-01T11:30:00.500" C="5400" D="4">
      <PTN A="47.25" B="20.75" C="88000" D="4" E="1.2" F="0.8" G="17" H="28800000" I="16192"/>
      <DLV A="0074" B="118000" C="DET1"/>
    </TIM>
    <TIM A="2024-05-01T12:00:00+02:00" D="3"/>
    <DAN A="A000000000000001" B="FFFFFFFFFFFFFFFF" C="DVC1"><ASP A="2024-05-01T10:00:00" D="4"/></DAN>
    <GAN A="GGP1"><ASP A="2024-05-01T10:00:00" D="1"><PTN A="47.25" B="20.75"/></ASP><GST A="GGP1" B="GPN1" C="-120" D="80" E="12000"/></GAN>
    <DLT A="DFFF" B="1" C="3" H="DET1"/>
    <TLG A="TLG00001" B="3600" C="1"/>
    <o:weather wind="3"><o:note lang="en">breezy, <o:b>dry</o:b> later</o:note></o:weather>
  </TSK>
</ISO11783_TaskData>
`;
