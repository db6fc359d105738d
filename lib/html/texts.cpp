#include "html/texts_internal.hpp"

namespace ductledger::html {

std::string_view page_rules() {
  return R"css(
*{box-sizing:border-box}
html{color-scheme:light dark;-webkit-text-size-adjust:100%}
html[data-theme=light]{color-scheme:light}
html[data-theme=dark]{color-scheme:dark}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.55 system-ui,sans-serif}
main,.top,.foot{max-width:60rem;margin:0 auto;padding:0 1.5rem}
.top{padding-top:2rem;display:flex;justify-content:space-between;align-items:baseline;gap:1rem;flex-wrap:wrap}
.top p{margin:0;color:var(--quiet);font-size:.875rem;overflow-wrap:anywhere}
.skip{position:absolute;left:-99rem}
.skip:focus{left:1rem;top:1rem;background:var(--paper);padding:.5rem 1rem;z-index:2}
:focus-visible{outline:3px solid var(--second);outline-offset:3px}
h1{font-size:1.75rem;line-height:1.25;margin:.5rem 0 1rem;text-wrap:balance;overflow-wrap:anywhere}
h2{font-size:1.3rem;line-height:1.3;margin:3.5rem 0 .75rem;overflow-wrap:anywhere}
h3{font-size:1.1rem;margin:2.25rem 0 .5rem;overflow-wrap:anywhere}
h4{font-size:1rem;margin:1.5rem 0 .5rem}
p{margin:.5rem 0;max-width:44rem;overflow-wrap:anywhere}
a{color:var(--first)}
.verdict{border-left:2px solid var(--quiet);padding:.25rem .75rem;margin:0 0 .75rem}
.verdict strong{margin-right:.5rem}
.verdict.warn,.verdict.not-shown{border-left:4px dashed currentColor}
.verdict.fail,.verdict.not-met{border:3px solid currentColor;font-size:1.2rem}
.answer{font-size:1.35rem;line-height:1.4;margin:0 0 .25rem}
.answer data{font-weight:650}
.quiet,.where,figcaption,.live,caption{color:var(--quiet)}
.where,figcaption,.live,.remark{font-size:.875rem}
data,.whole{white-space:nowrap}
.on-paper,.bars{display:none}
.fold summary{cursor:pointer;margin:1.5rem 0 .5rem;font-weight:500}
.contents{margin:2rem 0 0;padding:0;list-style:none;display:flex;flex-wrap:wrap;gap:.25rem 1.25rem;font-size:.9375rem}
figure{margin:1.5rem 0;max-width:100%}
figure svg{display:block;max-width:100%;height:auto}
.narrow{display:none}
.live{min-height:1.5em;margin:.25rem 0 0}
.reading{pointer-events:all;cursor:default}
.here{stroke:var(--second);stroke-width:2.5;fill:none}
table{border-collapse:collapse;width:100%;margin:1rem 0 1.5rem;font-size:.9375rem;font-variant-numeric:tabular-nums}
caption{text-align:left;padding-bottom:.5rem;font-size:.875rem}
th,td{text-align:left;vertical-align:baseline;overflow-wrap:anywhere;padding:.4rem .75rem .4rem 0;border-bottom:1px solid var(--rule)}
thead th{color:var(--quiet);font-weight:500;font-size:.8125rem;border-bottom-width:2px}
tbody th{font-weight:500}
th,td{overflow-wrap:break-word}
.n{text-align:right;padding-right:0;padding-left:.75rem;white-space:nowrap}
.n+:not(.n){padding-left:1.25rem}
tr.most th,tr.most td{font-weight:650}
tr.most th:first-child{color:var(--second)}
.aside th,.aside td{color:var(--quiet)}
.under{display:block;color:var(--quiet);font-size:.8125rem;font-weight:400;line-height:1.4;max-width:24rem}
.finding{border-left:3px solid var(--rule);padding:.1rem 0 .1rem 1rem;margin:1.25rem 0;break-inside:avoid}
.finding.fail,.finding.warn{border-left-color:var(--second)}
.finding.fail{border-left-width:6px;padding-left:.8rem}
.finding p{margin:.2rem 0}
.level{display:inline-block;min-width:3rem;font-weight:650}
.fail .level,.warn .level{color:var(--second)}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.3rem 1.5rem;margin:1rem 0;font-size:.9375rem}
dt{color:var(--quiet)}
dd{margin:0;overflow-wrap:anywhere}
li{margin:.3rem 0;max-width:44rem;overflow-wrap:anywhere}
tr:has(+tr.notes)>*{border-bottom:0;padding-bottom:.1rem}
.notes .under{max-width:44rem}
.fields{grid-template-columns:max-content 1fr max-content 1fr;row-gap:1rem;align-items:end}
.fields dd{border-bottom:1px solid currentColor;min-height:1.5em}
.fields.sign{margin-top:2.5rem;break-inside:avoid}
.sheet svg{display:block;max-width:100%;height:auto;margin:1rem 0}
.foot{margin-top:4rem;padding-bottom:3rem;color:var(--quiet);font-size:.8125rem;overflow-wrap:anywhere}
.theme{font-size:.875rem;color:var(--quiet)}
.theme select{font:inherit;color:var(--ink);background:var(--paper);border:1px solid var(--quiet);border-radius:4px;padding:.15rem .3rem}
@media screen and (max-width:64rem){
table{font-size:.8125rem}th,td{padding-right:.45rem}.n{padding-left:.45rem;padding-right:0}
}
@media screen and (max-width:44rem){
table{font-size:.9375rem}
main,.top,.foot{padding-left:1rem;padding-right:1rem}
h1{font-size:1.4rem}.answer{font-size:1.2rem}h2{margin-top:2.75rem}
.wide{display:none}.narrow{display:block}
table,tbody,tr,th,td,caption{display:block;width:100%}
thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
tr{border-bottom:1px solid var(--rule);padding:.5rem 0}
th,td,.n,.n+:not(.n){border:0;padding:.1rem 0;text-align:left;white-space:normal;overflow-wrap:anywhere}
tbody td[data-label]{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 1rem;min-width:0}
tbody td[data-label]::before{content:attr(data-label);color:var(--quiet);font-weight:400}
tbody td[data-label]::before{flex:none;max-width:45%}
tbody td>span{min-width:0}
td.none{display:none!important}
.bars{display:block;margin:1rem 0}
.bars details{padding:.3rem 0}
.bars summary{display:grid;grid-template-columns:1fr auto;gap:0 1rem;cursor:pointer;min-height:2.25rem;align-content:center}
.bars .bar{grid-column:1/-1;height:.4rem;background:var(--first);margin-top:.2rem;min-width:1px}
.bars .most summary{font-weight:650;color:var(--second)}
.bars .most .bar{background:var(--second);height:.6rem}
.bars p{font-size:.875rem;margin:.25rem 0 .5rem}
.bars+table.dense{display:none}
.dense tbody tr{display:grid;grid-template-columns:1fr 1fr;column-gap:1.25rem}
.dense tbody th{grid-column:1/-1}
.dense tbody td{font-size:.875rem}
dl{grid-template-columns:1fr;gap:0}
dd{margin-bottom:.6rem}
}
@media print{
html{color-scheme:light}
body{font-size:10pt;line-height:1.4;background:#fff;color:#000}
main,.top,.foot{max-width:none;padding:0}
.skip,.live,.theme,.contents{display:none}
.wide{display:block!important}.narrow{display:none!important}
h1{font-size:17pt}.answer{font-size:13pt}
h2{font-size:13pt;margin:18pt 0 6pt}h3{font-size:11pt;margin:12pt 0 4pt}h4{font-size:10pt}
h2,h3,h4,caption,summary{break-after:avoid}p,li{orphans:3;widows:3}
table+p,p.remark+p.remark,.foot{break-before:avoid}
.sheet{break-before:page}.sheet.alone{break-before:auto;break-after:page}.sheet svg{max-width:none;margin:0}
body:has(.sheet.alone) :is(.top,h1),main:has(.sheet.on-paper)+.foot{display:none}
.on-paper{display:block;font-size:9pt}.on-paper li{margin:1pt 0}
.summary{display:flex;flex-direction:column;height:calc(var(--page) - 26mm);break-after:page}
.summary figure{margin:6pt 0;flex:none}
.summary figure:last-child{flex:1 1 0;min-height:4cm;display:flex;flex-direction:column}
.summary figure:last-child .wide{display:flex!important;flex:0 1 auto;min-height:0}
.summary figure:last-child svg{max-height:100%}
.tail{break-inside:avoid}
thead{display:table-header-group;break-after:avoid}
tbody tr:first-child,tbody tr:nth-child(2),tbody tr:last-child{break-before:avoid}
table:not(:has(tbody tr:nth-child(10))){break-inside:avoid}
.under{font-size:7.5pt}.dense .n{white-space:normal}
table{font-size:8.5pt;margin:6pt 0 12pt}thead th{font-size:8pt}
th,td{padding:2.5pt 6pt 2.5pt 0}.n{padding:2.5pt 0 2.5pt 6pt}
tr,figure,.finding,li,dl{break-inside:avoid}
figure{margin:8pt 0}
figure svg{max-height:5.4cm;width:auto}
p:has(+table){break-after:avoid}
h2~.summary{display:block;height:auto;break-after:auto}
h2~.summary figure svg{max-height:6.6cm!important}
.layout+.layout{break-before:page}
tr:has(+tr.notes){break-after:avoid}
.notes .under{max-width:none}
.foot{margin-top:18pt}
a{color:inherit;text-decoration:none}
}
)css";
}

std::string_view page_script() {
  return R"js((function(){
"use strict";
var root=document.documentElement,kept=null;
try{kept=localStorage.getItem("ductledger-theme")}catch(e){}
function theme(name){
  if(name==="light"||name==="dark")root.setAttribute("data-theme",name);
  else root.removeAttribute("data-theme");
}
theme(kept);
var folds=document.querySelectorAll("details.fold");
function fold(open){folds.forEach(function(one){one.open=open})}
fold(false);
window.addEventListener("beforeprint",function(){fold(true)});
window.addEventListener("afterprint",function(){fold(false)});
var top=document.querySelector(".top");
if(top){
  var label=document.createElement("label"),select=document.createElement("select");
  label.className="theme";label.textContent="Theme ";
  ["system","light","dark"].forEach(function(name){
    var option=document.createElement("option");
    option.value=option.textContent=name;
    if(name===kept)option.selected=true;
    select.appendChild(option);
  });
  select.addEventListener("change",function(){
    theme(select.value);
    try{localStorage.setItem("ductledger-theme",select.value)}catch(e){}
  });
  label.appendChild(select);top.appendChild(label);
}
document.querySelectorAll("figure").forEach(function(figure){
  var live=figure.querySelector(".live");
  if(!live)return;
  figure.querySelectorAll(".wide,.narrow").forEach(function(box){
    var points=Array.prototype.slice.call(box.querySelectorAll(".reading")),at=-1,ring=null;
    if(!points.length)return;
    box.tabIndex=0;
    box.setAttribute("role","group");
    box.setAttribute("aria-label",box.getAttribute("data-name")+": arrow keys read the points, Escape ends");
    function show(i){
      at=i;
      if(ring)ring.remove();
      ring=null;
      if(i<0){live.textContent="";return}
      var p=points[i];
      ring=document.createElementNS("http://www.w3.org/2000/svg","circle");
      ring.setAttribute("cx",p.getAttribute("cx"));ring.setAttribute("cy",p.getAttribute("cy"));
      ring.setAttribute("r","9");ring.setAttribute("class","here");ring.setAttribute("pointer-events","none");
      p.parentNode.appendChild(ring);
      live.textContent=p.getAttribute("data-reading");
    }
    points.forEach(function(p,i){
      p.addEventListener("pointerenter",function(){show(i)});
      p.addEventListener("click",function(){show(i)});
    });
    box.addEventListener("pointerleave",function(){if(document.activeElement!==box)show(-1)});
    box.addEventListener("blur",function(){show(-1)});
    box.addEventListener("keydown",function(event){
      var n=points.length,next=null;
      if(event.key==="ArrowRight"||event.key==="ArrowDown")next=(at+1)%n;
      else if(event.key==="ArrowLeft"||event.key==="ArrowUp")next=at<=0?n-1:at-1;
      else if(event.key==="Home")next=0;
      else if(event.key==="End")next=n-1;
      else if(event.key==="Escape"){show(-1);return}
      if(next!==null){event.preventDefault();show(next)}
    });
  });
});
})();
)js";
}

}  // namespace ductledger::html
