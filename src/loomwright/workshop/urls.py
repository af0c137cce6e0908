"""Every page by its address."""

from __future__ import annotations

from django.urls import path

from loomwright.workshop.pages import join, row, today
from loomwright.workshop.pages.unfinished import unfinished

handler404 = "loomwright.workshop.answering.not_there"
handler500 = "loomwright.workshop.answering.mistake"

urlpatterns = [
    path("", today.today, name="today"),
    path("join/<str:given>/", join.join, name="join"),
    path("person/", join.person, name="person"),
    path("person/forget/", join.forget_person, name="forget_person"),
    path("alive/", join.alive, name="alive"),
    path("jobs/<str:job>/rows/<str:table>/", row.row, name="add_row"),
    path("jobs/<str:job>/rows/<str:table>/<str:key>/", row.row, name="row"),
    path("jobs/start/", unfinished, name="start"),
    path("jobs/bring/", unfinished, name="bring_in"),
    path("search/", unfinished, name="search"),
    path("settings/", unfinished, name="settings"),
    path("jobs/<str:job>/", unfinished, name="job"),
    path("jobs/<str:job>/loom/", unfinished, name="loom"),
    path("jobs/<str:job>/plugs/<str:plug>/", unfinished, name="plug"),
    path("jobs/<str:job>/items/<str:item>/", unfinished, name="item"),
    path("jobs/<str:job>/photos/<str:name>", unfinished, name="photo"),
    path("jobs/<str:job>/tables/<str:table>/", unfinished, name="table"),
    path("jobs/<str:job>/paste/<str:table>/", unfinished, name="paste"),
    path("jobs/<str:job>/measure/", unfinished, name="measure"),
    path("jobs/<str:job>/readings/<str:reading>/", unfinished, name="reading"),
    path("jobs/<str:job>/suspects/", unfinished, name="suspects"),
    path("jobs/<str:job>/work/", unfinished, name="work"),
    path("jobs/<str:job>/crimps/", unfinished, name="crimps"),
    path("jobs/<str:job>/proof/", unfinished, name="proof"),
    path("jobs/<str:job>/parts/", unfinished, name="parts"),
    path("jobs/<str:job>/quote/", unfinished, name="quote"),
    path("jobs/<str:job>/offer/", unfinished, name="choose_offer"),
    path("jobs/<str:job>/papers/", unfinished, name="papers"),
    path("jobs/<str:job>/papers/<str:paper>", unfinished, name="paper"),
    path("jobs/<str:job>/history/", unfinished, name="history"),
    path("jobs/<str:job>/take-out/", unfinished, name="take_out"),
    path("jobs/<str:job>/differences/", unfinished, name="differences"),
]
